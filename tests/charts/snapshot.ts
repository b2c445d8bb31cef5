/** Compares a drawing with the one kept beside the tests; a first drawing is kept, except where nobody could look at it. */
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';

export function expectDrawing(name: string, svg: string): void {
  const kept = join(import.meta.dirname, `${name}.svg`);
  const changed = `${kept}.changed`;
  if (!existsSync(kept)) {
    expect(process.env.CI, `${name}.svg is missing`).not.toBe('true');
    writeFileSync(kept, svg);
  }
  if (readFileSync(kept, 'utf8') === svg) {
    rmSync(changed, { force: true });
    return;
  }
  writeFileSync(changed, svg);
  expect.fail(`the drawing differs from ${name}.svg; look at ${name}.svg.changed and keep it if it is right`);
}

/** What every drawing owes: a name and a description, rounded coordinates, no style of its own, nothing that is not a number. */
export function expectGoodSvg(svg: string): void {
  expect(svg).toMatch(/^<svg class="chart" role="img" aria-labelledby="(\S+)-t \1-d" /u);
  expect(svg).toMatch(/<title id="[^"]+">[^<]+<\/title><desc id="[^"]+">[^<]+<\/desc>/u);
  expect(svg).not.toMatch(/NaN|Infinity|undefined|style=/u);
  expect(svg.replace(/<(title|desc|text)\b[^>]*>[^<]*<\/\1>/gu, '')).not.toMatch(/[0-9]\.[0-9]{2}/u);
}
