/** The colouring grammar for editors, put together from the words of the language: what the lexer tells apart. Pure. */
import { findAnalyte } from '../analytes.ts';
import { MEASURING } from '../tokens.ts';
import { findUnit, UNITS } from '../units.ts';
import { CLAUSES, CODE_WORDS, LINKS, QUANTS, SPELLINGS, VERBS } from '../words.ts';

interface Rule {
  readonly name?: string;
  readonly match?: string;
  readonly begin?: string;
  readonly end?: string;
  readonly include?: string;
  readonly captures?: Readonly<Record<string, Rule>>;
  readonly beginCaptures?: Readonly<Record<string, Rule>>;
  readonly patterns?: readonly Rule[];
}

const LANGUAGE = 'cellar';
const scope = (name: string): string => `${name}.${LANGUAGE}`;
const include = (name: string): Rule => ({ include: `#${name}` });

const escaped = (word: string): string => word.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&').replace(/ /g, ' +');

/** One of these words, the longest first, so that none hides another. */
const oneOf = (words: Iterable<string>): string =>
  [...new Set(words)]
    .sort((a, b) => b.length - a.length || (a < b ? -1 : 1))
    .map(escaped)
    .join('|');

/** A word goes on with letters, digits and `_`, and with `-` or `/` before one of them. */
const GOES_ON = '(?![\\p{L}\\p{M}\\p{N}_²³]|[-/][\\p{L}\\p{N}_])';
const WORD = '[\\p{L}°ℓ](?:[\\p{L}\\p{M}\\p{N}_²³]|[-/](?=[\\p{L}\\p{N}_]))*';
/** A number, with its sign where that belongs to it. */
const NUMBER = '(?:(?<=^|[\\s~<>(,.])[-+])?\\d+(?:\\.\\d+)?';
const TIME = '\\+?\\d{1,2}:\\d{2}(?!\\d)';
const BLANK = '[ \\t]';

const spelled = (words: readonly string[]): string[] => [
  ...words,
  ...Object.keys(SPELLINGS).filter((spelling) => words.includes(SPELLINGS[spelling] ?? '')),
];

const links = spelled(LINKS);
const clauses = spelled(CLAUSES);
const reserved = [...links, ...clauses, ...QUANTS];

/** Units that mean one thing in any case, and those that have to be written as they are. */
function unitWords(): { anyCase: string[]; exact: string[] } {
  const anyCase: string[] = [];
  const exact: string[] = [];
  for (const unit of UNITS) {
    for (const word of unit.words) {
      if (reserved.includes(word.toLowerCase())) continue;
      const same = findUnit(word.toUpperCase()) === unit && findUnit(word.toLowerCase()) === unit;
      (same ? anyCase : exact).push(word);
    }
  }
  return { anyCase, exact };
}

/** A word of several, whatever its case. */
const word = (words: readonly string[]): string => `(?i:${oneOf(words)})${GOES_ON}`;

function unit(): string {
  const { anyCase, exact } = unitWords();
  // a rate of two units that are known each by itself: `grams/litre`
  const simple = (words: readonly string[]): string => oneOf(words.filter((one) => !one.includes('/')));
  const part = `(?:(?i:${simple(anyCase)})|${simple(exact)})`;
  return `(?:${part}${BLANK}?/(?:\\d+${BLANK}?)?${part}|(?i:${oneOf(anyCase)})|${oneOf(exact)})${GOES_ON}`;
}

const opening = (verbs: readonly string[]): string =>
  `^((?:${BLANK}*(?:${TIME}|\\.\\.\\.?|,))*${BLANK}*)(?:((?i:struck))${GOES_ON}(${BLANK}+))?(${word(verbs)})`;

const openingCaptures: Readonly<Record<string, Rule>> = {
  '1': { patterns: [include('time'), include('range'), include('comma')] },
  '2': { name: scope('storage.modifier.struck') },
  '4': { name: scope('keyword.control.verb') },
};

/** What may stand behind a verb, or in a row. */
const body: readonly Rule[] = [
  'comment',
  'remark',
  'code',
  'string',
  'date',
  'time',
  'comma-number',
  'amount',
  'cross',
  'asked',
  'percent',
  'quantity',
  'now',
  'link',
  'clause',
  'word',
  'range',
  'mark',
  'dash',
  'comma',
  'bracket',
].map(include);

/** As `body`, where clause words that are also measured are what is measured. */
const measured: readonly Rule[] = body.map((rule) =>
  rule.include === '#clause' ? include('clause-where-measured') : rule,
);

const repository: Readonly<Record<string, Rule>> = {
  conflict: { match: '^(?:<{7}|={7}|>{7}|\\|{7})(?=\\s|$).*$', name: scope('invalid.illegal.conflict') },
  note: {
    match: `^${BLANK}*(\\|)(.*)$`,
    captures: {
      '1': { name: scope('punctuation.definition.note') },
      '2': { name: scope('markup.quote.note') },
    },
  },
  day: {
    match: `^(?:${BLANK}*)(\\d{4}-\\d{1,2}-\\d{1,2})(?![\\d\\w])(?:${BLANK}+(${WORD}))?`,
    captures: {
      '1': { name: scope('constant.other.date') },
      '2': { name: scope('constant.other.weekday') },
    },
  },
  struck: {
    match: `^((?:${BLANK}*(?:${TIME}|\\.\\.\\.?|,))*${BLANK}*)((?i:struck))${GOES_ON}`,
    captures: { '1': openingCaptures['1'] ?? {}, '2': openingCaptures['2'] ?? {} },
  },
  'measuring-entry': {
    begin: opening(VERBS.filter((verb) => MEASURING.has(verb))),
    end: '$',
    beginCaptures: openingCaptures,
    patterns: measured,
  },
  entry: { match: opening(spelled(VERBS)), captures: openingCaptures },
  comment: { match: '(?<=^|\\s)#.*$', name: scope('comment.line.number-sign') },
  remark: { match: '(?<=^|\\s)(?:--|—)(?=\\s|$).*$', name: scope('comment.line.remark') },
  code: {
    match: `(?<!using )(?:((?i:${oneOf(CODE_WORDS.filter((one) => (clauses as string[]).includes(one)))}))|(?i:${oneOf(CODE_WORDS)}))${GOES_ON}${BLANK}+(?!#|--|—(?:\\s|$))([^\\s,"][^\\s,]*)`,
    captures: {
      '1': { name: scope('keyword.other.clause') },
      '2': { name: scope('entity.name.tag') },
    },
  },
  string: { match: '"[^"\\x00-\\x1f\\x7f]*"', name: scope('string.quoted.double') },
  date: { match: '\\d{4}-\\d{1,2}-\\d{1,2}(?![\\d\\w])', name: scope('constant.other.date') },
  time: { match: TIME, name: scope('constant.other.time') },
  'comma-number': { match: '\\d+(?:,\\d+)+(?:\\.\\d+)?', name: scope('invalid.illegal.number') },
  amount: {
    match: `(${NUMBER})(?:(?:${BLANK}*)(${unit()}))?`,
    captures: {
      '1': { name: scope('constant.numeric') },
      '2': { name: scope('keyword.other.unit') },
    },
  },
  cross: { match: `(?<=\\d|\\d )[xX](?=${BLANK}*\\d)|×`, name: scope('keyword.operator.cross') },
  asked: {
    match: `(\\?)(?:(?:${BLANK}*)(${unit()}))?`,
    captures: {
      '1': { name: scope('keyword.operator.asked') },
      '2': { name: scope('keyword.other.unit') },
    },
  },
  percent: { match: '%(?: ?vol)?', name: scope('keyword.other.unit') },
  quantity: { match: word(QUANTS), name: scope('constant.language.quantity') },
  now: { match: `(?i:now)(?=${BLANK}*[-+]?[~<>\\d])`, name: scope('constant.language.quantity') },
  link: { match: word(links), name: scope('keyword.operator.link') },
  clause: { match: word(clauses), name: scope('keyword.other.clause') },
  'clause-where-measured': {
    match: word(clauses.filter((one) => findAnalyte(one) === undefined)),
    name: scope('keyword.other.clause'),
  },
  word: { match: WORD, name: scope('variable.other.name') },
  range: { match: '\\.\\.\\.?', name: scope('keyword.operator.range') },
  mark: { match: '[~<>]', name: scope('keyword.operator.mark') },
  dash: { match: '(?<=^|[\\s,])-(?=[\\s,]|$)', name: scope('keyword.operator.dash') },
  comma: { match: ',', name: scope('punctuation.separator.comma') },
  bracket: { match: '[()]', name: scope('punctuation.section.bracket') },
};

/** The grammar as editors read it, and where it is kept below `grammar/editors/`. */
export function highlightingFile(): { readonly path: string; readonly text: string } {
  const grammar = {
    information_for_contributors:
      'Generated by grammar/reference/highlighting.ts: change that, or the words of the language.',
    name: 'Cellar book',
    scopeName: `source.${LANGUAGE}`,
    fileTypes: ['cellar'],
    patterns: ['conflict', 'note', 'day', 'measuring-entry', 'entry', 'struck'].map(include).concat(body),
    repository,
  };
  const text = JSON.stringify(grammar, null, 2)
    // short lists of plain words stand on one line
    .replace(/\[\n\s+("[^"\n]*")\n\s+\]/g, '[$1]');
  return { path: 'extension/syntaxes/cellar.tmLanguage.json', text: `${text}\n` };
}
