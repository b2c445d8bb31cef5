/** A page that is one file with its look in it: to be printed, or sent to somebody who has no site. */
import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { drawings } from './drawings.ts';
import { templatesIn } from './render.ts';

/** @throws Error when the templates cannot be read: they are part of the program. */
export async function wholePage(
  template: string,
  styles: readonly string[],
  data: { readonly page: object; readonly title: string; readonly cellar: string },
  templates: string,
): Promise<string> {
  const [render, ...sheets] = await Promise.all([
    templatesIn(templates),
    ...styles.map((name) => readFile(join(templates, name), 'utf8')),
  ]);
  const style = sheets.join('\n');
  return render(template, {
    ...data,
    cellar: data.cellar === '' ? 'The cellar book' : data.cellar,
    style,
    // the one style the page may have
    styleHash: createHash('sha256').update(style).digest('base64'),
    draw: drawings,
  });
}
