/** The outline of a file: its days, with what was done on each; above the first day, what is declared. */
import { formatDate, weekday } from '../../grammar/dates.ts';
import { FRAMES } from '../../grammar/frames.ts';
import { canonical } from '../../grammar/tokens.ts';
import type { VerbWord } from '../../grammar/words.ts';
import { openingVerb, spotsOf } from './spots.ts';
import type { Study } from './study.ts';

export interface OutlineItem {
  readonly name: string;
  /** What stands behind the verb. */
  readonly detail: string;
  readonly kind: 'day' | 'entry' | 'standing';
  /** All of it, and the line that opens it, as offsets into the file. */
  readonly start: number;
  readonly end: number;
  readonly lineStart: number;
  readonly lineEnd: number;
  readonly children: readonly OutlineItem[];
}

type Growing = { -readonly [K in keyof OutlineItem]: OutlineItem[K] } & { children: OutlineItem[] };

const LONGEST_DETAIL = 80;

/** The text of an entry, its verb and what stands behind it; the time stays with the verb. */
function partsOf(text: string, verb: string): { name: string; detail: string } {
  const at = text.toLowerCase().indexOf(verb);
  const name = text
    .slice(0, at + verb.length)
    .trim()
    .replace(/\s+/g, ' ');
  const rest = text
    .slice(at + verb.length)
    .trim()
    .replace(/\s+/g, ' ');
  return { name, detail: rest.length > LONGEST_DETAIL ? `${rest.slice(0, LONGEST_DETAIL - 1)}…` : rest };
}

/** The outline of a file; rows and notes belong to the entry above them. */
export function outlineOf(study: Study, file: number): OutlineItem[] {
  const items: OutlineItem[] = [];
  let day: Growing | undefined;
  let entry: Growing | undefined;
  const grow = (end: number): void => {
    if (entry !== undefined) entry.end = end;
    if (day !== undefined) day.end = end;
  };
  for (const { kind, start, end, text, day: number } of spotsOf(study, file)) {
    const place = { start, end, lineStart: start, lineEnd: end };
    if (kind === 'day') {
      const name = number === undefined ? text.trim() : `${formatDate(number)} ${weekday(number)}`;
      const detail = /\s(?:--|—)\s+(.*)$/.exec(text)?.[1]?.trim() ?? '';
      day = { ...place, name, detail, kind: 'day', children: [] };
      entry = undefined;
      items.push(day);
      continue;
    }
    const verb = kind === 'said' ? openingVerb(text) : undefined;
    const frame = verb === undefined ? undefined : FRAMES[canonical(verb) as VerbWord];
    if (verb === undefined || frame === undefined || frame.under !== undefined) {
      grow(end);
      continue;
    }
    entry = { ...place, ...partsOf(text, verb), kind: frame.standing === true ? 'standing' : 'entry', children: [] };
    if (day === undefined) items.push(entry);
    else day.children.push(entry);
    grow(end);
  }
  return items;
}
