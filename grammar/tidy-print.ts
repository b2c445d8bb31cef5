/** Prints a line that could be read: one blank between words, every word and unit in its usual form. */
import type { IToken } from 'chevrotain';
import { UNUSUAL, usualCharacters } from './characters.ts';
import { formatDate, weekday } from './dates.ts';
import type { Cell, Row } from './entries.ts';
import { endOfColumn, type TableColumn, type TableLayout } from './tidy-columns.ts';
import {
  ClauseToken,
  CloseToken,
  CommaToken,
  CrossToken,
  canonical,
  cut,
  DotDotToken,
  endOf,
  LinkToken,
  MarkToken,
  NowToken,
  OpenToken,
  QuantToken,
  RemarkToken,
  StruckToken,
  TimeToken,
  UnitToken,
  VerbToken,
} from './tokens.ts';
import { findUnit } from './units.ts';

/** A line cut into words, with what takes the place of some of them. */
export interface CutLine {
  readonly tokens: readonly IToken[];
  readonly comments: readonly IToken[];
  /** As written: remarks and comments keep their characters. */
  readonly text: string;
  /** It stands in a list that may be laid out by hand: blanks between its words stay as many as they are. */
  readonly byHand: boolean;
}

export function cutLine(text: string, byHand = false): CutLine {
  // one for one, so that every place stays true
  const { tokens, comments } = cut(UNUSUAL.test(text) ? usualCharacters(text).text : text);
  return { tokens, comments, text, byHand };
}

/** A word of the line as the tidy form has it. */
function printToken(token: IToken, { tokens, text }: CutLine, instead: ReadonlyMap<number, string>): string {
  const other = instead.get(token.startOffset);
  if (other !== undefined) return other;
  switch (token.tokenType) {
    case VerbToken:
    case LinkToken:
    case ClauseToken:
      return canonical(token.image);
    case StruckToken:
    case QuantToken:
    case NowToken:
      return token.image.toLowerCase();
    case UnitToken:
      return findUnit(token.image)?.symbol ?? token.image;
    case CrossToken:
      return 'x';
    case DotDotToken:
      return '..';
    case TimeToken: {
      // only the times an entry begins with are read as times
      const verb = tokens.find((one) => one.tokenType === VerbToken);
      const begins = verb !== undefined && token.startOffset < verb.startOffset;
      return begins ? token.image.replace(/^(\+?)(\d):/, '$10$2:') : token.image;
    }
    case RemarkToken: {
      const remark = text.slice(token.startOffset, endOf(token)).replace(/^(?:--|—)\s*/, '');
      return remark === '' ? '--' : `-- ${remark}`;
    }
    default:
      return token.image;
  }
}

/** One blank; where a list is laid out by hand, as many as stand there. */
const gapBetween = (before: IToken, after: IToken, { byHand }: CutLine): string =>
  ' '.repeat(byHand ? Math.max(1, after.startOffset - endOf(before)) : 1);

/** Whether nothing stands between two words. */
const isTight = (before: IToken, after: IToken): boolean =>
  after.tokenType === CommaToken ||
  after.tokenType === CloseToken ||
  after.tokenType === DotDotToken ||
  before.tokenType === OpenToken ||
  before.tokenType === DotDotToken ||
  before.tokenType === MarkToken;

function printTokens(tokens: readonly IToken[], line: CutLine, instead: ReadonlyMap<number, string>): string {
  let printed = '';
  let before: IToken | undefined;
  for (const token of tokens) {
    const gap = before === undefined || isTight(before, token) ? '' : gapBetween(before, token, line);
    printed += gap + printToken(token, line, instead);
    before = token;
  }
  return printed;
}

const commentText = (comment: IToken, { text }: CutLine): string =>
  text.slice(comment.startOffset, endOf(comment)).trimEnd();

/** A line, or several joined by a comma at the end, each with its own blanks before it. */
export function printLines(
  line: CutLine,
  indent: number,
  further: number,
  instead: ReadonlyMap<number, string>,
): string[] {
  const printed: string[] = [];
  let start = 0;
  for (const physical of line.text.split('\n')) {
    const end = start + physical.length;
    const here = (token: IToken): boolean => token.startOffset >= start && token.startOffset < end;
    const tokens = line.tokens.filter(here);
    let text = printTokens(tokens, line, instead);
    const last = tokens[tokens.length - 1];
    for (const comment of line.comments.filter(here))
      text += (last === undefined ? '' : gapBetween(last, comment, line)) + commentText(comment, line);
    printed.push(text === '' ? '' : ' '.repeat(printed.length === 0 ? indent : further) + text);
    start = end + 1;
  }
  return printed;
}

/** The line of a day, with its weekday and what stands behind it. */
export function printDay(day: number, line: CutLine): string {
  const remark = line.tokens.filter((token) => token.tokenType === RemarkToken);
  const behind = [
    printTokens(remark, line, new Map()),
    ...line.comments.map((comment) => commentText(comment, line)),
  ].filter((part) => part !== '');
  return [`${formatDate(day)} ${weekday(day)}`, ...behind].join(' ');
}

/** How wide a text shows, marks on letters left out. */
const width = (text: string): number => [...text.replace(/\p{M}/gu, '')].length;

/** Puts a text at a place of a row, or one blank behind what stands there already. */
const putAt = (row: string, at: number, text: string): string => row + ' '.repeat(Math.max(1, at - width(row))) + text;

/** Where a cell begins: figures stand with their decimal points below one another, a dash at the end of its field. */
function placeOf(cell: Cell, text: string, column: TableColumn): number {
  if (cell.type === 'dash') return endOfColumn(column) - 1;
  const whole = /^[^.]*?\d+(?=\D|$)/.exec(text)?.[0] ?? text;
  return column.from + column.whole - width(whole);
}

/** A row of a table of readings, every figure in the field of its column; a row of one line only. */
export function printRow(
  row: Row,
  line: CutLine,
  indent: number,
  layout: TableLayout,
  instead: ReadonlyMap<number, string>,
): string {
  const within = (start: number, end: number): string =>
    printTokens(
      line.tokens.filter((token) => token.startOffset >= start && token.startOffset < end),
      line,
      instead,
    );
  let printed = within(row.name.start, row.name.end);
  for (const [i, cell] of row.cells.entries()) {
    const text = within(cell.start, cell.end);
    const column = layout.columns[i];
    printed = putAt(printed, column === undefined ? 0 : placeOf(cell, text, column), text);
  }
  const remark = line.tokens.filter((token) => token.tokenType === RemarkToken);
  if (remark.length > 0) printed = putAt(printed, layout.remark, printTokens(remark, line, instead));
  for (const comment of line.comments) printed = putAt(printed, layout.remark, commentText(comment, line));
  return ' '.repeat(indent) + printed;
}
