/** `ullage archive FOLDER --vintage YEAR --to BAG`: puts a vintage away as a bag of BagIt 1.0, and checks it. */
import { readdirSync, readFileSync } from 'node:fs';
import { isAbsolute, join, relative, resolve, sep } from 'node:path';
import type { Book } from '../cellar/book.ts';
import { makeBook } from '../cellar/make-book.ts';
import { checkJournal } from '../checks/check-journal.ts';
import { compareFindings } from '../journal/findings.ts';
import { isoDay } from '../report/dates.ts';
import schema from '../report/export.schema.json' with { type: 'json' };
import { exportBook } from '../report/export.ts';
import { counted } from '../report/names.ts';
import { filesOfLots, lotsOfVintage, vintagesOf } from '../report/vintage.ts';
import { buildSite } from '../site/build.ts';
import { archiveText } from './archive-text.ts';
import { verifyBag } from './bag-verify.ts';
import { type BagFile, type BagInfo, bagFiles, refusesBag, writeBag } from './bag-write.ts';
import { tableFiles } from './export.ts';
import { readFolder } from './journal-files.ts';
import { packagePath } from './package-path.ts';
import { diskReason } from './replace-file.ts';
import { painter, sayTally, showFinding, tally, visible } from './show.ts';
import { version } from './version.ts';

export interface ArchiveOptions {
  readonly vintage: number;
  readonly to: string;
  /** As of this day; without it, as of the last day written. */
  readonly on: number | undefined;
}

const refuse = (message: string): number => {
  process.stderr.write(`${message}\n`);
  return 2;
};

/** Whether files put there would be read as a part of the journal. */
function wouldBeRead(folder: string, to: string): boolean {
  const parts = relative(resolve(folder), resolve(to)).split(sep);
  return !isAbsolute(parts.join(sep)) && !parts.some((part) => part.startsWith('.') || part === 'node_modules');
}

/** 0 done, 1 done with errors in the journal, 2 nothing was written. */
export async function archive(folder: string, options: ArchiveOptions): Promise<number> {
  const { vintage, to, on } = options;
  const taken = refusesBag(to);
  if (taken !== undefined) return refuse(`${visible(to)} was left as it is: ${taken}`);
  if (wouldBeRead(folder, to))
    return refuse(
      `${visible(to)} was left as it is: an archive inside the journal would be read as a part of it; name a folder beside it`,
    );
  const read = readFolder(folder);
  if (read.findings.length > 0) {
    const paint = painter(process.stderr);
    for (const finding of read.findings) process.stderr.write(`${showFinding(finding, read.files, paint)}\n`);
    return refuse('nothing was put away: a journal is archived when all of it can be read');
  }
  const made = makeBook(read.files, on, checkJournal);
  const book: Book = { ...made, findings: [...made.findings].sort(compareFindings) };
  const lots = lotsOfVintage(book, vintage);
  if (lots.size === 0) {
    const years = vintagesOf(book);
    return refuse(
      `no fruit or wine of ${vintage} was entered${years.length === 0 ? '' : `; the journal has ${years.join(', ')}`}`,
    );
  }
  const files = filesOfLots(book, lots);
  const payload = await payloadOf(book, vintage, files);
  try {
    writeBag(to, bagFiles(payload, infoOf(book, vintage)));
  } catch (error) {
    const why = diskReason(error);
    if (why === undefined) throw error;
    return refuse(`${visible(to)} was not written: ${why}`);
  }
  const { problems, intact } = verifyBag(to);
  const broken = problems.filter(({ breaks }) => breaks);
  for (const { message } of problems) process.stderr.write(`${message}\n`);
  if (broken.length > 0) return refuse(`${visible(to)} was written, and is not whole: make it again`);
  const counts = tally(book.findings);
  process.stdout.write(
    `vintage ${vintage} in ${visible(to)}: ${counted(lots.size, 'lot')}, ${counted(files.length, 'file')} of the journal, ${counted(intact, 'file')} in all, checked\n` +
      `${sayTally(counts)}${counts.errors > 0 ? `; \`ullage check ${visible(folder)}\` tells them` : ''}\n`,
  );
  return counts.errors > 0 ? 1 : 0;
}

async function payloadOf(book: Book, vintage: number, files: readonly number[]): Promise<BagFile[]> {
  const findingsPages = packagePath('grammar/findings');
  const site = await buildSite(book, { templates: packagePath('templates'), findingsPages });
  const journal = files.flatMap((file) => book.files[file] ?? []);
  const text = (path: string, said: string): BagFile => ({ path, bytes: Buffer.from(said) });
  return [
    text('READ-ME.txt', archiveText(book, vintage, journal)),
    // the text was read as UTF-8 without loss: written again it is the file, byte for byte
    ...journal.map((file) => text(`journal/${file.path}`, file.text)),
    ...site.map((file) => text(`site/${file.path}`, file.text)),
    text('export/journal.json', `${JSON.stringify(exportBook(book), null, 2)}\n`),
    text('export/export.schema.json', `${JSON.stringify(schema, null, 2)}\n`),
    ...tableFiles(book).map((file) => text(`tables/${file.name}`, file.text)),
    text('language/reference/language.md', readFileSync(packagePath('grammar/reference/language.md'), 'utf8')),
    ...readdirSync(findingsPages)
      .filter((name) => name.endsWith('.md'))
      .sort()
      .map((name) => text(`language/findings/${name}`, readFileSync(join(findingsPages, name), 'utf8'))),
  ];
}

function infoOf(book: Book, vintage: number): BagInfo {
  const { name } = book.settings;
  return [
    ...(name === '' ? [] : ([['Source-Organization', visible(name)]] as const)),
    [
      'External-Description',
      `The cellar book of vintage ${vintage}: journal, pages, tables and the language they are in`,
    ],
    ['External-Identifier', `vintage-${vintage}-as-of-${isoDay(book.on)}`],
    ['Bagging-Date', isoDay(book.on)],
    [
      'Internal-Sender-Description',
      'Bagging-Date is the day the book tells of, not a day of any clock: the same journal gives the same bag',
    ],
    ['Bag-Software-Agent', `ullage ${version()}`],
  ];
}
