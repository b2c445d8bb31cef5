/** The token types of a line, and the one lexer that cuts a line into them. */
import { createToken, type IToken, Lexer, type TokenType } from 'chevrotain';
import { findAnalyte } from './analytes.ts';
import { findUnit } from './units.ts';
import { CLAUSES, CODE_WORDS, LINKS, QUANTS, SPELLINGS, VERBS } from './words.ts';

const WORD_TAIL = /(?:[\p{L}\p{M}\p{N}_²³]|[-/](?=[\p{L}\p{N}]))*/uy;
const LETTER = /[\p{L}°ℓ]/u;

const isAsciiWord = (c: number): boolean =>
  (c >= 97 && c <= 122) || (c >= 65 && c <= 90) || (c >= 48 && c <= 57) || c === 95;

const isBlank = (c: number): boolean => c === 32 || c === 9 || c === 10 || c === 13 || Number.isNaN(c);

const wrap = (text: string): [string] => [text];

/** A letter of any script, then letters, digits, `_`, single `-` or `/`. The toolkit drops the `u` flag, hence by hand. */
function matchWord(text: string, start: number, before: readonly IToken[]): [string] | null {
  const first = text.charCodeAt(start);
  const asciiLetter = (first >= 97 && first <= 122) || (first >= 65 && first <= 90);
  if (!asciiLetter && (first < 128 || !LETTER.test(text.charAt(start)))) return null;
  if (first === 120) {
    // `12x750`: the x between two numbers is a sign, not the beginning of a word
    const next = text.charCodeAt(start + 1);
    const last = before[before.length - 1];
    if (next >= 48 && next <= 57 && last?.tokenType === NumberToken) return ['x'];
  }
  let end = start + 1;
  for (;;) {
    const c = text.charCodeAt(end);
    if (isAsciiWord(c)) end++;
    else if ((c === 45 || c === 47) && isAsciiWord(text.charCodeAt(end + 1))) end += 2;
    else if (c >= 128 || ((c === 45 || c === 47) && text.charCodeAt(end + 1) >= 128)) {
      WORD_TAIL.lastIndex = end;
      const tail = WORD_TAIL.exec(text);
      if (tail === null || tail[0] === '') break;
      end += tail[0].length;
    } else break;
  }
  return wrap(text.slice(start, end));
}

/** After `tag`, `batch`, `code`, `paper`: the next run of characters, whatever they are. */
function matchCode(text: string, start: number, before: readonly IToken[]): [string] | null {
  const last = before[before.length - 1];
  if (last === undefined || last.tokenType !== WordToken || !CODE_WORDS.includes(last.image.toLowerCase())) return null;
  if (before[before.length - 2]?.image.toLowerCase() === 'using') return null;
  const first = text.charCodeAt(start);
  if (first === 34 || first === 44 || (first === 45 && text.charCodeAt(start + 1) === 45)) return null;
  let end = start;
  while (end < text.length && !isBlank(text.charCodeAt(end)) && text.charCodeAt(end) !== 44) end++;
  return end === start ? null : wrap(text.slice(start, end));
}

function matchComment(text: string, start: number): [string] | null {
  if (text.charCodeAt(start) !== 35 || (start > 0 && !isBlank(text.charCodeAt(start - 1)))) return null;
  let end = text.indexOf('\n', start);
  if (end === -1) end = text.length;
  return wrap(text.slice(start, end));
}

/** A remark runs from `--` with blanks around it to the end of the line. */
function matchRemark(text: string, start: number): [string] | null {
  const first = text.charCodeAt(start);
  const width = first === 0x2014 ? 1 : first === 45 && text.charCodeAt(start + 1) === 45 ? 2 : 0;
  if (width === 0) return null;
  if (start > 0 && !isBlank(text.charCodeAt(start - 1))) return null;
  if (!isBlank(text.charCodeAt(start + width))) return null;
  return wrap(text.slice(start).trimEnd());
}

/** A sign belongs to a number where a blank or nothing stands before it. */
function matchNumber(text: string, start: number): [string] | null {
  let at = start;
  if (text.charCodeAt(at) === 45 || text.charCodeAt(at) === 43) {
    if (at > 0 && !/[\s~<>(,.]/.test(text.charAt(at - 1))) return null;
    at++;
  }
  const from = at;
  while (text.charCodeAt(at) >= 48 && text.charCodeAt(at) <= 57) at++;
  if (at === from) return null;
  const next = text.charCodeAt(at + 1);
  if (text.charCodeAt(at) === 46 && next >= 48 && next <= 57) {
    at += 2;
    while (text.charCodeAt(at) >= 48 && text.charCodeAt(at) <= 57) at++;
  }
  return wrap(text.slice(start, at));
}

const DASH = /-(?=[\s,]|$)/y;
function matchDash(text: string, start: number): [string] | null {
  DASH.lastIndex = start;
  if (start > 0 && !isBlank(text.charCodeAt(start - 1)) && text.charCodeAt(start - 1) !== 44) return null;
  return DASH.test(text) ? ['-'] : null;
}

// Letters beyond Latin-1: one code in each bucket the lexer's first-character table has is enough to reach them all.
const LETTER_HINTS: number[] = [];
for (let c = 65; c <= 90; c++) LETTER_HINTS.push(c, c + 32);
for (let c = 0xaa; c <= 0xff; c++) LETTER_HINTS.push(c);
for (let c = 0x100; c <= 0xffff; c += 64) LETTER_HINTS.push(c);
const DIGITS = ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9'];
const CODE_HINTS: number[] = [...LETTER_HINTS];
for (let c = 33; c <= 126; c++) if (c !== 34 && c !== 44) CODE_HINTS.push(c);

const custom = (
  name: string,
  pattern: (text: string, offset: number, before: IToken[]) => [string] | null,
  start_chars_hint: (string | number)[],
  group?: string,
): TokenType =>
  createToken({ name, pattern, start_chars_hint, line_breaks: false, ...(group === undefined ? {} : { group }) });

const BlankToken = createToken({ name: 'Blank', pattern: /[ \t\r\n]+/, group: Lexer.SKIPPED, line_breaks: true });
const CommentToken = custom('Comment', matchComment, ['#'], 'comments');
export const RemarkToken = custom('Remark', matchRemark, ['-', 0x2014]);
export const CodeToken = custom('Code', matchCode, CODE_HINTS);
export const DateToken = createToken({ name: 'Date', pattern: /\d{4}-\d{1,2}-\d{1,2}(?![\d\w])/ });
export const TimeToken = createToken({ name: 'Time', pattern: /\+?\d{1,2}:\d{2}(?!\d)/ });
/** `24,6` or `1,840`: never a number; caught here so that the finding can name both readings. */
export const CommaNumberToken = createToken({ name: 'CommaNumber', pattern: /\d+(?:,\d+)+(?:\.\d+)?/ });
export const NumberToken = custom('Number', matchNumber, ['-', '+', ...DIGITS]);
export const DotDotToken = createToken({ name: 'DotDot', pattern: /\.\.\.?/ });
export const CommaToken = createToken({ name: 'Comma', pattern: /,/ });
export const OpenToken = createToken({ name: 'Open', pattern: /\(/ });
export const CloseToken = createToken({ name: 'Close', pattern: /\)/ });
export const MarkToken = createToken({ name: 'Mark', pattern: /[~<>]/ });
export const AskToken = createToken({ name: 'Ask', pattern: /\?/ });
export const DashToken = custom('Dash', matchDash, ['-']);
export const StringToken = createToken({ name: 'String', pattern: /"[ !#-~\u0080-\uffff]*"/ });
export const PercentToken = createToken({ name: 'Percent', pattern: /%(?: ?vol)?/ });
export const WordToken: TokenType = custom('Word', matchWord, LETTER_HINTS);
export const CrossToken = createToken({ name: 'Cross', pattern: /×/ });

// Words retagged by table once they are cut; none of these has a pattern of its own.
const retagged = (name: string): TokenType => createToken({ name, pattern: Lexer.NA });
export const VerbToken = retagged('Verb');
export const StruckToken = retagged('Struck');
export const LinkToken = retagged('Link');
export const ClauseToken = retagged('Clause');
export const QuantToken = retagged('Quant');
export const NowToken = retagged('Now');
export const UnitToken = retagged('Unit');

/** In the order the lexer tries them. */
export const TOKENS: TokenType[] = [
  BlankToken,
  CommentToken,
  RemarkToken,
  CodeToken,
  WordToken,
  DateToken,
  TimeToken,
  CommaNumberToken,
  NumberToken,
  DotDotToken,
  CommaToken,
  OpenToken,
  CloseToken,
  MarkToken,
  AskToken,
  DashToken,
  StringToken,
  PercentToken,
  CrossToken,
  VerbToken,
  StruckToken,
  LinkToken,
  ClauseToken,
  QuantToken,
  NowToken,
  UnitToken,
];

const OPTIONS = { positionTracking: 'onlyOffset', ensureOptimizations: true, skipValidations: true } as const;
const lexer = new Lexer(TOKENS, OPTIONS);
/** A code may begin with any character, so its pattern is tried at every one: most lines have no word that opens one. */
const lexerWithoutCodes = new Lexer(
  TOKENS.filter((type) => type !== CodeToken),
  OPTIONS,
);
const OPENS_CODE = new RegExp(`\\b(?:${CODE_WORDS.join('|')})\\b`, 'i');

const RETAG = new Map<string, TokenType>();
for (const word of LINKS) RETAG.set(word, LinkToken);
for (const word of CLAUSES) RETAG.set(word, ClauseToken);
for (const word of QUANTS) RETAG.set(word, QuantToken);
for (const [spelling, word] of Object.entries(SPELLINGS)) {
  const type = RETAG.get(word);
  if (type !== undefined) RETAG.set(spelling, type);
}
const VERB_WORDS = new Set<string>([
  ...VERBS,
  ...Object.keys(SPELLINGS).filter((word) => (VERBS as readonly string[]).includes(SPELLINGS[word] ?? '')),
]);

/** The word meant by each spelling of a verb, link or clause. */
const CANONICAL = new Map<string, string>([...VERBS, ...LINKS, ...CLAUSES].map((word) => [word, word]));
for (const [spelling, word] of Object.entries(SPELLINGS)) CANONICAL.set(spelling, word);

/** The verb, link or clause an image stands for, whatever its case and spelling. */
export const canonical = (image: string): string => {
  const known = CANONICAL.get(image);
  if (known !== undefined) return known;
  const lower = image.toLowerCase();
  return CANONICAL.get(lower) ?? lower;
};

/** Whether a word, in lower case, may open an entry. */
export const isVerb = (word: string): boolean => VERB_WORDS.has(word);
/** Whether a word, in lower case, is anything but a plain word at the beginning of a line. */
export const isTagged = (word: string): boolean => VERB_WORDS.has(word) || RETAG.has(word);
/** Whether a word, in lower case, is a link or a clause and so can't be a name. */
export const isReserved = (word: string): boolean => {
  const type = RETAG.get(word);
  return type === LinkToken || type === ClauseToken;
};

/** Verbs after which a clause word that is also an analyte (`alcohol`) is the analyte. */
export const MEASURING: ReadonlySet<string> = new Set([
  'reading',
  'readings',
  'method',
  'columns',
  'due',
  'keep',
  'warn',
]);

function retag(token: IToken, type: TokenType): void {
  token.tokenType = type;
  token.tokenTypeIdx = type.tokenTypeIdx ?? 0;
}

/** One past the last character of a token. */
export const endOf = (token: IToken): number => token.startOffset + token.image.length;

/** Joins `lb/1000 gal` or `g/100 kg` into the one unit token it is. */
function joinUnit(tokens: IToken[], at: number, text: string): boolean {
  const first = tokens[at];
  const second = tokens[at + 1];
  if (first === undefined || second === undefined) return false;
  if (second.tokenType !== WordToken && second.tokenType !== UnitToken) return false;
  const image = text.slice(first.startOffset, endOf(second));
  if (findUnit(image.replace(/\s+/g, ' ')) === undefined) return false;
  first.image = image;
  tokens.splice(at + 1, 1);
  return true;
}

export interface Cut {
  readonly tokens: IToken[];
  readonly comments: readonly IToken[];
  /** Where the lexer met something it has no token for. */
  readonly bad: readonly { readonly offset: number; readonly length: number }[];
}

/** Cuts a line into tokens and tells verbs, links, clauses and units from plain words by where they stand. */
export function cut(text: string): Cut {
  const { tokens, errors, groups } = (OPENS_CODE.test(text) ? lexer : lexerWithoutCodes).tokenize(text);
  let first = true;
  let verb = '';
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i] as IToken;
    const type = token.tokenType;
    if (type === WordToken) {
      const image = token.image;
      const before = i > 0 ? (tokens[i - 1] as IToken).tokenType : undefined;
      if (before === NumberToken || before === AskToken) {
        const tagged = RETAG.get(image);
        const next = tokens[i + 1];
        if (tagged === QuantToken || tagged === LinkToken || tagged === ClauseToken) retag(token, tagged);
        else if ((image === 'x' || image === 'X') && next?.tokenType === NumberToken) retag(token, CrossToken);
        else if (image.includes('/') && joinUnit(tokens, i, text)) retag(token, UnitToken);
        else if (findUnit(image) !== undefined) retag(token, UnitToken);
        else if (image.length <= 4 && joinUnit(tokens, i, text)) retag(token, UnitToken);
      } else {
        const lower = RETAG.has(image) || VERB_WORDS.has(image) ? image : image.toLowerCase();
        if (first) {
          if (lower === 'struck') {
            retag(token, StruckToken);
            continue;
          }
          if (VERB_WORDS.has(lower)) {
            retag(token, VerbToken);
            verb = lower;
            first = false;
            continue;
          }
          first = false;
        }
        const tagged = RETAG.get(lower);
        if (tagged !== undefined) {
          if (tagged !== ClauseToken || !MEASURING.has(verb) || findAnalyte(lower) === undefined) retag(token, tagged);
        } else if (lower === 'now' && i > 0) {
          const next = tokens[i + 1];
          if (next !== undefined && (next.tokenType === NumberToken || next.tokenType === MarkToken)) {
            retag(token, NowToken);
          }
        }
      }
      first = false;
    } else if (type === PercentToken) {
      retag(token, UnitToken);
      first = false;
    } else if (first && type !== TimeToken && type !== DotDotToken && type !== CommaToken) first = false;
  }
  return {
    tokens,
    comments: groups.comments ?? [],
    bad: errors,
  };
}
