/** Puts the language reference together: prose as it was written, tables and diagrams from the grammar itself. Pure. */
import { ANALYTES } from '../analytes.ts';
import { CODES, type Code } from '../codes.ts';
import { parser } from '../parser.ts';
import { type Dimension, REFUSED_UNITS, UNITS } from '../units.ts';
import {
  CLAUSES,
  CODE_WORDS,
  LINKS,
  LOSS_CAUSES,
  MATERIAL_KINDS,
  QUANTS,
  REMOVALS,
  SPELLINGS,
  STAGES,
  STYLES,
  type Stage,
  VERBS_BY_STAGE,
  VESSEL_KINDS,
} from '../words.ts';
import { diagram } from './diagrams.ts';
import { type GrammarNode, ruleAsText } from './ebnf.ts';
import { TOKENS_SAID } from './tokens-said.ts';
import { commonPhrases, table, verbSection } from './verbs-said.ts';

/** A substance the tool knows, told from outside: the grammar itself knows no chemistry. */
export interface SubstanceSaid {
  readonly name: string;
  readonly kind: string;
  readonly brings: string;
  readonly allergen: string;
  readonly caution: string;
}

export interface ReferenceSources {
  /** The Markdown of each prose section, by the names in `PROSE`. */
  readonly prose: Readonly<Record<ProseName, string>>;
  readonly substances: readonly SubstanceSaid[];
}

export interface ReferenceFile {
  /** Relative to `grammar/reference/`. */
  readonly path: string;
  readonly text: string;
}

/** The prose sections in the order they are read: `prose/<name>.md`. */
export const PROSE = [
  'a-day-by-example',
  'files-and-days',
  'names',
  'numbers-and-units',
  'times',
  'moving-wine',
  'additions-and-readings',
  'trials-and-blends',
  'plans',
  'rounds-and-sheets',
  'the-store',
  'corrections',
  'estimates',
  'what-must-balance',
  'notes',
  'the-tidy-form',
] as const;
export type ProseName = (typeof PROSE)[number];

const STAGE_TITLES: Readonly<Record<Stage, string>> = {
  standing: 'Standing facts',
  fruit: 'Fruit',
  must: 'Must',
  wine: 'Wine',
  'any time': 'At any time',
  bench: 'Bench',
  store: 'Store and names',
};

const code = (word: string): string => `\`${word}\``;
const codes = (words: readonly string[]): string => words.map(code).join(', ');

/** The rules of the grammar of a line, as the parser itself has them. */
export const grammarRules = (): GrammarNode[] => parser.getSerializedGastProductions();

function verbs(): string {
  const sections = STAGES.flatMap((stage) => [
    `## ${STAGE_TITLES[stage]}`,
    ...VERBS_BY_STAGE[stage].map((verb) => verbSection(verb)),
  ]);
  return [
    '# The verbs',
    'Each verb says what may stand after it and which words it takes. "Always" in the last column means that the line does not count without it. Links and clauses may stand in any order, with a comma before them or without.',
    'Every verb takes these as well:',
    commonPhrases(),
    ...sections,
  ].join('\n\n');
}

function units(): string {
  const dimensions: Dimension[] = [];
  for (const unit of UNITS) if (!dimensions.includes(unit.dimension)) dimensions.push(unit.dimension);
  const sections = dimensions.flatMap((dimension) => [
    `## Units of ${dimension}`,
    table(
      ['unit', 'in words', 'also written'],
      UNITS.filter((unit) => unit.dimension === dimension).map((unit) => [
        code(unit.symbol),
        unit.say,
        codes(unit.words.slice(1)),
      ]),
    ),
  ]);
  return [
    '# The units',
    'A unit stands behind its number, with a blank or without. Tidy prints the form on the left. Capital and small letters do not matter where no two units would be confused.',
    ...sections,
    '## Words that are refused',
    'These look like units and have more than one meaning, or none. The finding says what to write instead.',
    table(
      ['word', 'why, and what to write'],
      [...REFUSED_UNITS].map(([word, why]) => [code(word), why]),
    ),
  ].join('\n\n');
}

function measurements(): string {
  return [
    '# The measurements',
    'What `reading` and `readings` can write down. Where the word fixes the unit, the number stands alone (`brix 24.6`). A figure outside the usual range is kept, with a finding. The ranges are common practice and have no source.',
    table(
      ['measurement', 'what it is', 'also written', 'unit', 'usual range'],
      ANALYTES.map((analyte) => [
        code(analyte.key),
        analyte.say,
        codes(analyte.words.slice(1).filter((word) => word.toLowerCase() !== analyte.key.toLowerCase())),
        analyte.fixed
          ? `none; means ${analyte.unit}`
          : `of ${analyte.dimensions.join(' or ')}; reports in ${analyte.unit}`,
        `${analyte.plausible[0]} to ${analyte.plausible[1]}`,
      ]),
    ),
  ].join('\n\n');
}

function words(substances: readonly SubstanceSaid[]): string {
  return [
    '# The open words',
    '## Kinds of vessel',
    codes(VESSEL_KINDS),
    '## Kinds of material',
    codes(MATERIAL_KINDS),
    '## Substances the tool knows',
    "After `is`: what the substance brings is worked out from its formula. A product's own label and safety data sheet come first.",
    table(
      ['substance', 'kind', 'brings', 'allergen', 'caution'],
      substances.map(({ name, kind, brings, allergen, caution }) => [name, kind, brings, allergen, caution]),
    ),
    '## What wine leaves for',
    `After \`for\` in a \`dispatch\`: ${codes(REMOVALS)}.`,
    '## What a loss came from',
    `After \`for\` in a \`loss\`: ${codes(LOSS_CAUSES)}.`,
    '## What fruit is meant for',
    `After \`for\` in a \`receive\`, \`bleed\` or \`bring\`: ${codes(STYLES)}.`,
    '# The reserved words',
    "These hold a line together and can't be names. Everything else can, verbs and units too.",
    table(
      ['what', 'words'],
      [
        ['links', codes(LINKS)],
        ['clauses', codes(CLAUSES)],
        ['quantities without a number', codes(QUANTS)],
        ['words a code follows', codes(CODE_WORDS)],
        [
          'other spellings',
          Object.entries(SPELLINGS)
            .map(([spelling, word]) => `${code(spelling)} for ${code(word)}`)
            .join(', '),
        ],
      ],
    ),
  ].join('\n\n');
}

function shape(): string {
  const kinds = Object.values(TOKENS_SAID).filter((said) => !said.literal);
  return [
    '# The shape of a line',
    'One grammar reads every line; the verb then says what may stand where. These are the rules the reader itself works with. In the diagrams, green is typed as it stands, brown is a kind of word, and a square box is another rule. In the text, `[ ]` may be left out, `{ }` may be repeated or left out, and `|` chooses. A day, an entry or a row is one line; notes, blank lines and comments never reach this grammar.',
    table(
      ['kind', 'what it is'],
      kinds.map((said) => [code(said.text), said.say ?? '']),
    ),
    ...grammarRules().map((rule) => {
      const name = rule.name ?? '';
      const text = ruleAsText(rule);
      return [
        `## ${code(name)}`,
        `![${text.replace(/[[\]\\]/g, '\\$&')}](diagrams/${name}.svg)`,
        `\`\`\`ebnf\n${text}\n\`\`\``,
      ].join('\n\n');
    }),
  ].join('\n\n');
}

function findings(): string {
  const rows = Object.keys(CODES).map((name) => {
    const { severity, title } = CODES[name as Code];
    return [`[${code(name)}](../findings/${name}.md)`, severity, title];
  });
  return [
    '# The findings',
    'What the tool can say about a journal. Each code has a page with its reason, a journal that brings it about and the same journal mended; `ullage explain` and the code prints it.',
    table(['code', 'severity', 'title'], rows),
  ].join('\n\n');
}

const CONTENTS: readonly string[] = [
  'The verbs',
  'The measurements',
  'The units',
  'The open words',
  'The reserved words',
  'The shape of a line',
  'The findings',
];

const anchor = (title: string): string =>
  `#${title
    .toLowerCase()
    .replace(/[^a-z0-9 ]/g, '')
    .replace(/ /g, '-')}`;

const titleOf = (markdown: string): string => /^# (.+)$/m.exec(markdown)?.[1] ?? '';

/** Every heading one level deeper; what stands between fences is left alone. */
function deeper(markdown: string): string {
  let fenced = false;
  return markdown
    .split('\n')
    .map((line) => {
      if (line.startsWith('```')) fenced = !fenced;
      return !fenced && /^#{1,5} /.test(line) ? `#${line}` : line;
    })
    .join('\n');
}

/** Every generated file of the reference: `language.md` and one diagram a rule. */
export function referenceFiles(sources: ReferenceSources): ReferenceFile[] {
  const prose = PROSE.map((name) => sources.prose[name].trim());
  const titles = [...prose.map(titleOf), ...CONTENTS];
  const language = [
    '<!-- Generated by grammar/reference/generate.ts: change the prose or the grammar, not this file. -->',
    '# The language of the cellar book',
    'From a first day to the last unit.',
    titles.map((title) => `- [${title}](${anchor(title)})`).join('\n'),
    ...[...prose, verbs(), measurements(), units(), words(sources.substances), shape(), findings()].map(deeper),
  ].join('\n\n');
  return [
    { path: 'language.md', text: `${language}\n` },
    ...grammarRules().map((rule) => ({ path: `diagrams/${rule.name ?? ''}.svg`, text: diagram(rule) })),
  ];
}
