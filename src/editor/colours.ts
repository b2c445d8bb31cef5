/** What every word of a file is, for whoever colours it: as the lexer cuts it, names by what they stand for. */
import { findAnalyte } from '../../grammar/analytes.ts';
import { UNUSUAL, usualCharacters } from '../../grammar/characters.ts';
import { readLine } from '../../grammar/read.ts';
import {
  AskToken,
  ClauseToken,
  CodeToken,
  CommaNumberToken,
  CrossToken,
  cut,
  DashToken,
  DateToken,
  DotDotToken,
  endOf,
  LinkToken,
  MarkToken,
  NowToken,
  NumberToken,
  QuantToken,
  RemarkToken,
  StringToken,
  StruckToken,
  TimeToken,
  UnitToken,
  VerbToken,
  WordToken,
} from '../../grammar/tokens.ts';
import { type Mention, mentionsOf, placesOf } from './mentions.ts';
import { Names, OwnerAbove, type Thing } from './names.ts';
import { type FileSpot, spotAt, spotsOf } from './spots.ts';
import type { Study } from './study.ts';

export type Colour =
  | 'verb'
  | 'link'
  | 'clause'
  | 'quantity'
  | 'struck'
  | 'number'
  | 'unit'
  | 'sign'
  | 'date'
  | 'time'
  | 'text'
  | 'code'
  | 'comment'
  | 'remark'
  | 'note'
  | 'analyte'
  | Thing['kind'];

export interface Coloured {
  /** Offsets into the file's text; never over the end of a line. */
  readonly start: number;
  readonly end: number;
  readonly colour: Colour;
  /** A name that is given here. */
  readonly gives: boolean;
  /** It stands in a line that is struck out. */
  readonly struck: boolean;
}

type TokenKind = typeof VerbToken;

const COLOURS: ReadonlyMap<TokenKind, Colour> = new Map<TokenKind, Colour>([
  [VerbToken, 'verb'],
  [LinkToken, 'link'],
  [ClauseToken, 'clause'],
  [QuantToken, 'quantity'],
  [NowToken, 'quantity'],
  [StruckToken, 'struck'],
  [NumberToken, 'number'],
  [CommaNumberToken, 'number'],
  [UnitToken, 'unit'],
  [DotDotToken, 'sign'],
  [CrossToken, 'sign'],
  [MarkToken, 'sign'],
  [AskToken, 'sign'],
  [DashToken, 'sign'],
  [DateToken, 'date'],
  [TimeToken, 'time'],
  [StringToken, 'text'],
  [CodeToken, 'code'],
  [RemarkToken, 'remark'],
]);

/** Verbs whose words may be what is measured. */
const MEASURES: ReadonlySet<string> = new Set(['reading', 'readings', 'method', 'due', 'keep', 'warn', 'add']);

/** What every part of a file is, in the order they stand. Names the journal does not know are left out. */
export function coloursOf(study: Study, file: number, from = 0, to = Number.POSITIVE_INFINITY): Coloured[] {
  const known = study.known();
  const names = known === undefined ? undefined : new Names(study, known);
  const found: Coloured[] = [];
  const owner = new OwnerAbove();
  const text = study.files[file]?.text ?? '';
  let at = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  for (const spot of spotsOf(study, file)) {
    const above = owner.verb;
    owner.see(spot);
    if (spot.start > to) break;
    comments(text, at, spot.start, found);
    at = spot.end;
    if (spot.end >= from) lineColours(study, spot, above, names, found);
  }
  comments(text, at, text.length, found);
  return found.filter(({ start, end }) => end >= from && start <= to);
}

/** Comments on lines of their own. */
function comments(text: string, from: number, to: number, into: Coloured[]): void {
  for (const match of text.slice(from, to).matchAll(/^[ \t]*(#[^\r\n]*)/gm)) {
    const comment = match[1] ?? '';
    const end = from + match.index + match[0].length;
    into.push({ start: end - comment.length, end, colour: 'comment', gives: false, struck: false });
  }
}

function lineColours(
  study: Study,
  spot: FileSpot,
  above: OwnerAbove['verb'],
  names: Names | undefined,
  into: Coloured[],
): void {
  const { text, start: base } = spot;
  const add = (start: number, end: number, colour: Colour, gives = false, struck = false): void => {
    into.push({ start: base + start, end: base + end, colour, gives, struck });
  };
  if (spot.kind === 'note' || spot.kind === 'conflict') {
    const start = text.length - text.trimStart().length;
    add(start, text.trimEnd().length, spot.kind === 'note' ? 'note' : 'struck');
    return;
  }
  const { tokens, comments: behind } = cut(UNUSUAL.test(text) ? usualCharacters(text).text : text);
  const struck = tokens.some(({ tokenType }) => tokenType === StruckToken);
  const verb = tokens.find(({ tokenType }) => tokenType === VerbToken)?.image.toLowerCase();
  const named = spot.kind === 'said' ? namesIn(study, spot, above, names) : new Map<number, NamedHere>();
  const parts: { start: number; end: number; colour: Colour; gives: boolean }[] = [];
  for (const [i, token] of tokens.entries()) {
    const name = named.get(token.startOffset);
    const colour = COLOURS.get(token.tokenType) ?? wordColour(spot.kind, tokens, i, verb);
    const end = endOf(token);
    if (name !== undefined) parts.push({ start: token.startOffset, end, colour: name.kind, gives: name.gives });
    else if (colour !== undefined) parts.push({ start: token.startOffset, end, colour, gives: false });
  }
  for (const comment of behind)
    parts.push({ start: comment.startOffset, end: endOf(comment), colour: 'comment', gives: false });
  parts.sort((a, b) => a.start - b.start);
  for (const { start, end, colour, gives } of parts) {
    const image = text.slice(start, end).trimEnd();
    add(start, start + image.length, colour, gives, struck);
  }
}

type LineTokens = ReturnType<typeof cut>['tokens'];

/** What a word is that the lexer leaves as one: a weekday, or something measured. */
function wordColour(
  kind: FileSpot['kind'],
  tokens: LineTokens,
  index: number,
  verb: string | undefined,
): Colour | undefined {
  const token = tokens[index];
  if (token?.tokenType !== WordToken) return undefined;
  if (kind === 'day') return index === 1 ? 'date' : undefined;
  if (verb === undefined || !MEASURES.has(verb)) return undefined;
  const image = (i: number): string => (tokens[i]?.tokenType === WordToken ? (tokens[i]?.image ?? '') : '');
  const known =
    findAnalyte(token.image) ??
    findAnalyte(`${token.image} ${image(index + 1)}`) ??
    findAnalyte(`${image(index - 1)} ${token.image}`);
  return known === undefined ? undefined : 'analyte';
}

interface NamedHere {
  readonly kind: Thing['kind'];
  readonly gives: boolean;
}

/** The names of a line that stand for something, by where they begin. */
function namesIn(
  study: Study,
  spot: FileSpot,
  above: OwnerAbove['verb'],
  names: Names | undefined,
): Map<number, NamedHere> {
  const found = new Map<number, NamedHere>();
  if (names === undefined) return found;
  const { line } = readLine(spot.text);
  const thing = (mention: Mention, name: string): Thing | undefined => {
    const plainly = names.thing(mention.space, name, undefined);
    return names.isOneThing(mention.space, name)
      ? plainly
      : names.thing(mention.space, name, spotAt(study, spot.file, spot.start)?.last);
  };
  for (const mention of mentionsOf(line, above)) {
    for (const { start, name } of placesOf(mention)) {
      const meant = thing(mention, name);
      if (meant !== undefined) found.set(start, { kind: meant.kind, gives: mention.gives });
    }
  }
  return found;
}
