/** The lines of a file as an editor meets them: what each says, what it stands below, and the moment it tells of. */
import type { Entry, ReadLine } from '../../grammar/entries.ts';
import { FRAMES } from '../../grammar/frames.ts';
import { CONFLICT, LineCursor } from '../../grammar/lines.ts';
import { readLine } from '../../grammar/read.ts';
import { isVerb } from '../../grammar/tokens.ts';
import { VERBS, type VerbWord } from '../../grammar/words.ts';
import type { DayNumber, Minute } from '../journal/events.ts';
import type { DayBlock } from '../journal/files.ts';
import type { CutFile, Study } from './study.ts';

/** A moment of the record, exact enough to tell two lines apart. */
export interface Moment {
  readonly minute: Minute;
  readonly file: number;
  readonly line: number;
}

export const compareMoments = (a: Moment, b: Moment): number =>
  a.minute - b.minute || a.file - b.file || a.line - b.line;

/** Verbs that have rows or lines of their own below them. */
export const OWNERS: ReadonlySet<VerbWord> = new Set(
  VERBS.filter((verb) => FRAMES[verb].rows === true || VERBS.some((other) => FRAMES[other].under === verb)),
);

/** A line that says something, where it stands in its file. */
export interface FileSpot {
  readonly file: number;
  /** From 1. */
  readonly line: number;
  /** Offsets into the file's text, the line break left out. */
  readonly start: number;
  readonly end: number;
  readonly text: string;
  readonly kind: 'day' | 'note' | 'said' | 'conflict';
  /** The day it stands under, or is. */
  readonly day: DayNumber | undefined;
}

/** A line with what stands above it. */
export interface Spot extends Omit<FileSpot, 'kind'> {
  /** `blank`: nothing stands there, or a comment. */
  readonly kind: FileSpot['kind'] | 'blank';
  /** What was asked for, as an offset into the line. */
  readonly offset: number;
  readonly read: ReadLine | undefined;
  /** The entry above that rows and lines of its own belong to. */
  readonly owner: Entry | undefined;
  /** The first and the last of its times, or that of the line above; undefined where no day is known. */
  readonly first: Moment | undefined;
  readonly last: Moment | undefined;
}

const isDayLine = (cut: CutFile, start: number): boolean => cut.dayLines.some((line) => line.start === start);

/** Where the line of an offset begins. */
const startOfLine = (text: string, offset: number): number =>
  offset === 0 ? 0 : text.lastIndexOf('\n', offset - 1) + 1;

/** Where every line of a text begins; a byte order mark is no part of the first. */
export function lineStarts(text: string): number[] {
  const starts = [text.charCodeAt(0) === 0xfeff ? 1 : 0];
  for (let at = text.indexOf('\n'); at !== -1; at = text.indexOf('\n', at + 1)) starts.push(at + 1);
  return starts;
}

/** Where a line of a text ends, its line break left out. */
export function endOfLine(text: string, start: number): number {
  const newline = text.indexOf('\n', start);
  const end = newline === -1 ? text.length : newline;
  return end > start && text.charCodeAt(end - 1) === 13 ? end - 1 : end;
}

function* blockSpots(file: number, cut: CutFile, block: DayBlock): Generator<FileSpot> {
  const { text } = cut;
  const cursor = new LineCursor(text, block.from, block.to, block.line);
  while (cursor.advance()) {
    const { start, end, line, note } = cursor;
    const said = text.slice(start, end);
    const kind = CONFLICT.test(said) ? 'conflict' : note ? 'note' : 'said';
    yield { file, line, start, end, text: said, kind, day: block.day };
  }
}

/** Every line of a file that says something, in the order they stand. */
export function* spotsOf(study: Study, file: number): Generator<FileSpot> {
  const cut = study.cuts[file];
  if (cut === undefined) return;
  let days = 0;
  const dayLines = function* (until: number): Generator<FileSpot> {
    for (let next = cut.dayLines[days]; next !== undefined && next.start < until; next = cut.dayLines[++days]) {
      const end = endOfLine(cut.text, next.start);
      const day = Number.isNaN(next.day.day) ? next.day.meant : next.day.day;
      yield { file, line: next.line, start: next.start, end, text: cut.text.slice(next.start, end), kind: 'day', day };
    }
  };
  for (const block of cut.blocks) {
    yield* dayLines(block.from);
    yield* blockSpots(file, cut, block);
  }
  yield* dayLines(Number.POSITIVE_INFINITY);
}

const OPENER = /^[ \t]*(?:\+?\d{1,2}:\d{2}[ \t,.]*)*(?:struck[ \t]+)?([\p{L}-]+)/iu;

/** The verb a line seems to begin with, without reading it. */
export function openingVerb(text: string): string | undefined {
  const word = OPENER.exec(text)?.[1]?.toLowerCase();
  return word !== undefined && isVerb(word) ? word : undefined;
}

/** The moment that what stands above the first day holds from. */
export const beginningOf = (study: Study): Minute => (study.firstDay ?? 0) * 1440;

/** The line at an offset of a file. */
export function spotAt(study: Study, file: number, offset: number): Spot | undefined {
  const cut = study.cuts[file];
  if (cut === undefined) return undefined;
  const { text } = cut;
  const at = Math.max(0, Math.min(offset, text.length));
  const lineStart = startOfLine(text, at);
  const dayLine = cut.dayLines.find((line) => line.start === lineStart || (lineStart === 0 && line.start === 1));
  if (dayLine !== undefined && isDayLine(cut, dayLine.start)) {
    const { start, line } = dayLine;
    const end = endOfLine(text, start);
    const day = Number.isNaN(dayLine.day.day) ? dayLine.day.meant : dayLine.day.day;
    const moment = day === undefined ? undefined : { minute: day * 1440, file, line };
    const said = text.slice(start, end);
    return {
      file,
      line,
      start,
      end,
      text: said,
      kind: 'day',
      day,
      offset: at - start,
      read: readLine(said),
      owner: undefined,
      first: moment,
      last: moment,
    };
  }
  const block = cut.blocks.find(({ from, to }) => from <= at && at <= to && !(at === to && to < text.length));
  return block === undefined ? emptySpot(study, cut, file, at, lineStart) : spotInBlock(study, cut, file, block, at);
}

/** A place where nothing stands, after the last day line or before anything. */
function emptySpot(study: Study, cut: CutFile, file: number, at: number, lineStart: number): Spot {
  const above = cut.dayLines.findLast((line) => line.start < lineStart);
  const day = above === undefined ? undefined : Number.isNaN(above.day.day) ? above.day.meant : above.day.day;
  const line = cut.text.slice(0, lineStart).split('\n').length;
  const moment = { minute: day === undefined ? beginningOf(study) : day * 1440, file, line };
  const end = endOfLine(cut.text, lineStart);
  return {
    file,
    line,
    start: lineStart,
    end,
    text: cut.text.slice(lineStart, end),
    kind: 'blank',
    day,
    offset: at - lineStart,
    read: undefined,
    owner: undefined,
    first: moment,
    last: moment,
  };
}

function spotInBlock(study: Study, cut: CutFile, file: number, block: DayBlock, at: number): Spot {
  const { day } = block;
  const midnight = day === undefined ? beginningOf(study) : day * 1440;
  let minute = midnight;
  let owner: Entry | undefined;
  for (const spot of blockSpots(file, cut, block)) {
    if (spot.start > at) break;
    const here = at <= spot.end;
    const read = spot.kind === 'said' ? readLine(spot.text) : undefined;
    const said = read?.line;
    let first = minute;
    if (said?.type === 'entry') {
      const under = FRAMES[said.verb].under;
      if (said.when !== undefined) {
        first = midnight + (said.when.minutes[0] ?? 0);
        minute = midnight + (said.when.minutes[said.when.minutes.length - 1] ?? 0);
      }
      if (!here && under === undefined) owner = OWNERS.has(said.verb) ? said : undefined;
    } else if (said?.type === 'broken') {
      if (said.minute !== undefined) minute = midnight + said.minute;
      first = minute;
      // rows go on below a line that could not be read, unless it begins something of its own
      const verb = here ? undefined : said.verb;
      if (verb !== undefined && FRAMES[verb].under === undefined) owner = undefined;
    }
    if (!here) continue;
    return {
      ...spot,
      offset: at - spot.start,
      read,
      owner,
      first: { minute: first, file, line: spot.line },
      last: { minute, file, line: spot.line },
    };
  }
  const { text } = cut;
  const start = Math.max(block.from, startOfLine(text, at));
  const end = endOfLine(text, start);
  const line = block.line + text.slice(block.from, start).split('\n').length - 1;
  const moment = { minute, file, line };
  return {
    file,
    line,
    start,
    end,
    text: text.slice(start, end),
    kind: 'blank',
    day,
    offset: at - start,
    read: undefined,
    owner,
    first: moment,
    last: moment,
  };
}
