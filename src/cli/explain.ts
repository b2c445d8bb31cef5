/** `ullage explain CODE`: the page of a finding's code. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { CODES } from '../../grammar/codes.ts';
import { nearest } from '../../grammar/suggest.ts';
import { packagePath } from './package-path.ts';

export function explain(code: string): number {
  if (!Object.hasOwn(CODES, code)) {
    const near = nearest(code, Object.keys(CODES));
    process.stderr.write(`there is no code ${code}${near === undefined ? '' : `; did you mean ${near}?`}\n`);
    return 2;
  }
  process.stdout.write(readFileSync(join(packagePath('grammar/findings'), `${code}.md`), 'utf8'));
  return 0;
}
