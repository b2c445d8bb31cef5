/** `ullage claims FOLDER [BOTTLING]`: what labels claim, compared with the record and the rules chosen, and what is missing. */
import { fold } from '../../grammar/words.ts';
import type { Book, LotRecord } from '../cellar/book.ts';
import { compareFindings } from '../journal/findings.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import { sayShare } from '../law/share.ts';
import { answersOf, claimedLots, labelsOf } from '../report/claims.ts';
import { claimsJson } from '../report/claims-json.ts';
import { sumsBy, trailOf } from '../report/trail.ts';
import { readBook } from './read-book.ts';
import { type Paint, painter, sayTally, tally, visible } from './show.ts';

export interface ClaimsOptions {
  readonly format: 'text' | 'json';
  readonly on: number | undefined;
}

/** 0 no errors in the journal, 1 errors in it, 2 wrong usage, or a folder that cannot be read. */
export function claims(folder: string, bottling: string | undefined, options: ClaimsOptions): number {
  const found = readBook(folder, options.on);
  if (found === undefined) return 2;
  const { book, read } = found;
  const lots = bottling === undefined ? claimedLots({ book }) : named(book, bottling);
  if (bottling !== undefined && lots.length === 0) {
    process.stderr.write(`no bottling and no lot is called ${visible(bottling)}\n`);
    return 2;
  }
  const counts = tally([...read.findings, ...book.findings].sort(compareFindings));
  if (options.format === 'json') process.stdout.write(`${JSON.stringify(claimsJson(book, lots), null, 2)}\n`);
  else {
    process.stdout.write(`${text(book, lots, painter(process.stdout)).join('\n')}\n`);
    if (counts.errors > 0)
      process.stderr.write(`the journal has ${sayTally(counts)}: what they touch may be told wrongly here\n`);
  }
  return counts.errors > 0 ? 1 : 0;
}

const named = ({ lots }: Book, name: string): LotRecord[] =>
  lots.filter(({ facts }) => fold(facts.name) === fold(name));

const COLOUR = {
  reached: 'green',
  'not reached': 'red',
  'cannot tell': 'yellow',
  'share only': 'dim',
  'to look at': 'yellow',
} as const;

function text(book: Book, lots: readonly LotRecord[], paint: Paint): string[] {
  const set = RULE_SETS[book.settings.law];
  if (lots.length === 0) return ['The journal has no bottling, and no `label` line for a wine in vessels.'];
  return [
    ...lots.flatMap((lot) => [...wineText(book, lot, paint), '']),
    set.claims === undefined ? 'No rules are chosen.' : `Compared with: ${set.name}, set ${set.version}.`,
    set.caution,
  ];
}

function wineText(book: Book, lot: LotRecord, paint: Paint): string[] {
  const label = labelsOf(book).labels.get(lot.facts.id);
  const trail = trailOf(book, lot);
  const lines = [paint('bold', visible(lot.facts.name))];
  lines.push(label === undefined ? '  no `label` line' : `  ${visible(label.text)}`);
  for (const { claim, verdict, text: words, rule } of answersOf(book, lot)) {
    lines.push(`  ${paint(COLOUR[verdict], verdict)}: ${visible(claim)}: ${visible(words)}`);
    if (rule !== undefined)
      lines.push(paint('dim', `    ${rule.section}: ${rule.figure} (${rule.dated}; ${rule.read})`));
  }
  for (const { of, volume } of sumsBy(trail.sources, ['variety', 'region', 'vintage']))
    lines.push(`  ${sayShare(volume, trail.whole)} ${of.map(visible).join(', ')}`);
  for (const { text: words, happening } of trail.missing) {
    const place = happening?.event.place;
    const at = place === undefined ? '' : ` (${visible(book.files[place.file]?.path ?? '')}:${place.line})`;
    lines.push(`  missing: ${visible(words)}${at}`);
  }
  return lines;
}
