/** Prints the findings of a check as a log of SARIF 2.1.0. */
import { isAbsolute, relative, resolve, sep } from 'node:path';
import type { Finding } from '../journal/findings.ts';
import { findingsSarif } from '../report/findings-sarif.ts';
import { explanationsIn } from '../site/explanations.ts';
import type { ReadFolder } from './journal-files.ts';
import { packagePath } from './package-path.ts';
import { version } from './version.ts';

/** A folder from the one the program runs in, with `/`; undefined where it is not below that. */
function fromHere(folder: string): string | undefined {
  const path = relative(process.cwd(), resolve(folder)).split(sep).join('/');
  return isAbsolute(path) || path === '..' || path.startsWith('../') ? undefined : path;
}

export async function printSarif(folder: string, findings: readonly Finding[], read: ReadFolder): Promise<void> {
  const log = findingsSarif(findings, read.files, {
    version: version(),
    pages: await explanationsIn(packagePath('grammar/findings')),
    folder: fromHere(folder),
    done: !read.missing,
  });
  process.stdout.write(`${JSON.stringify(log, null, 2)}\n`);
}
