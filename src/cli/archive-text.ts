/** The plain text that lies on top of an archive: what it is, and how to read it with nothing but an editor. */
import type { Book } from '../cellar/book.ts';
import type { SourceFile } from '../journal/files.ts';
import { isoDay } from '../report/dates.ts';
import { counted } from '../report/names.ts';
import { VINTAGE_RULE } from '../report/vintage.ts';
import { visible } from './show.ts';

const WIDTH = 76;

/** A paragraph in lines that every screen and printer has room for. */
function wrapped(text: string, indent = ''): string {
  const lines: string[] = [];
  let line = indent;
  for (const word of text.split(' ')) {
    if (line !== indent && line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = indent;
    }
    line += line === indent ? word : ` ${word}`;
  }
  return [...lines, line].join('\n');
}

/** `journal`: the files of the journal that are in the archive. */
export function archiveText(book: Book, vintage: number, journal: readonly SourceFile[]): string {
  const others = book.files.length - journal.length;
  const cellar = book.settings.name === '' ? 'a cellar' : visible(book.settings.name);
  return `${[
    `VINTAGE ${vintage}`,
    wrapped(`The cellar book of ${cellar}, as of ${isoDay(book.on)}, the day it tells of.`),
    wrapped(
      'Everything here can be read without any program of ours. Begin with site/index.html in a web browser, or with the text files in journal/ in any editor.',
    ),
    [
      'journal/    the record itself, as the crew wrote it: plain text, UTF-8',
      'language/   what the words of the record mean, and every finding explained',
      'site/       the pages made from it; they open from this folder, offline',
      'tables/     the same as tables (CSV), with a dictionary of their columns',
      'export/     the same as one JSON document, with the schema it follows',
    ].join('\n'),
    `The rule\n\n${wrapped(`In journal/ ${VINTAGE_RULE}`, '  ')}`,
    wrapped(
      `${counted(journal.length, 'file')} of the journal ${journal.length === 1 ? 'is' : 'are'} here${others === 0 ? ', all there were' : `; ${others} more, which ${others === 1 ? 'tells' : 'tell'} nothing of this vintage, ${others === 1 ? 'is' : 'are'} not`}. Pages, tables and the JSON document are made from the whole journal up to that day, because what a wine is depends on what came before it.`,
      '  ',
    ),
    `Whether it is whole\n\n${wrapped(
      'The folder above this one is a bag of BagIt 1.0 (RFC 8493). Its list of checksums can be held against the files with any program that knows SHA-256, for example, in that folder:',
      '  ',
    )}\n\n    sha256sum --check manifest-sha256.txt\n    ullage verify .`,
    `What it is not\n\n${wrapped(
      'No return, declaration or proof of origin. The figures are worked out from what was written down. What must be kept, for how long, and in what form is a matter of the law of the place; ask those who are licensed to say. Keep more than one copy.',
      '  ',
    )}`,
  ].join('\n\n')}\n`;
}
