/** `ullage build FOLDER --out FOLDER`: renders the site of a journal. */

import { compareFindings } from '../journal/findings.ts';
import { packagePath } from './package-path.ts';
import { readBook } from './read-book.ts';
import { sayTally, tally } from './show.ts';

export interface BuildOptions {
  readonly out: string;
  readonly on: number | undefined;
  /** Version control is read too. */
  readonly history: boolean;
}

/** 0 built and clean, 1 built with errors in the journal, 2 nothing could be read or written. */
export async function build(folder: string, options: BuildOptions): Promise<number> {
  const [{ buildSite }, { SiteFolderError, writeSite }] = await Promise.all([
    import('../site/build.ts'),
    import('../site/write.ts'),
  ]);
  const found = readBook(folder, options.on);
  if (found === undefined) return 2;
  const { book, read } = found;
  const findings = [...read.findings, ...book.findings].sort(compareFindings);
  const past = options.history ? await (await import('./past.ts')).pastOf(folder) : undefined;
  const progress = process.stderr.isTTY === true ? progressLine() : undefined;
  const pages = await buildSite(
    { ...book, findings },
    {
      templates: packagePath('templates'),
      findingsPages: packagePath('grammar/findings'),
      ...(past === undefined ? {} : { past }),
      ...(progress === undefined ? {} : { onProgress: progress.show }),
    },
  );
  progress?.done();
  try {
    const { written, unchanged, removed } = await writeSite(pages, options.out);
    const counted = tally(findings);
    process.stdout.write(
      `${pages.length} files in ${options.out}: ${written} written, ${unchanged} unchanged, ${removed} removed\n${sayTally(counted)}${counted.errors > 0 ? `; \`ullage check ${folder}\` tells them` : ''}\n`,
    );
    return counted.errors > 0 ? 1 : 0;
  } catch (error) {
    if (error instanceof SiteFolderError || (error instanceof Error && 'code' in error)) {
      process.stderr.write(`${error.message}\n`);
      return 2;
    }
    throw error;
  }
}

/** A line that is written over while pages are made; silent for short work. */
function progressLine(): { show: (done: number, total: number) => void; done: () => void } {
  const started = Date.now();
  let shown = false;
  return {
    show: (done, total) => {
      if (Date.now() - started < 500) return;
      shown = true;
      process.stderr.write(`\r${done} of ${total} pages`);
    },
    done: () => {
      if (shown) process.stderr.write('\r\u001b[K');
    },
  };
}
