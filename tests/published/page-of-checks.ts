/** The page that lists every published check, its source and its largest margin. */
import type { PublishedCheck, Row } from './check.ts';

const STANDINGS: readonly { readonly standing: PublishedCheck['standing']; readonly heading: string }[] = [
  { standing: 'read', heading: 'Read in the source, or in a stored copy of it' },
  { standing: 'computed', heading: 'Computed from molar masses or exact definitions' },
  { standing: 'memory', heading: 'From memory: the source is named but was not read again' },
  { standing: 'practice', heading: 'Common practice, no source' },
];

/** Two figures: enough to see how near it is, few enough to be the same on every machine. */
const rounded = (value: number): string => String(Number(value.toPrecision(2)));

const cell = (text: string): string => text.replaceAll('|', '\\|');

function line(check: PublishedCheck, figureOf: (row: Row) => number): string {
  let margin = 0;
  let allowed = 0;
  for (const row of check.rows) {
    margin = Math.max(margin, Math.abs(figureOf(row) - row.expected));
    allowed = Math.max(allowed, row.tolerance);
  }
  // What is below a millionth of what is allowed is the noise of binary arithmetic.
  const shown = margin <= allowed * 1e-6 ? '0' : rounded(margin);
  return `| ${cell(check.title)} | ${cell(check.source)} | ${check.rows.length} | ${shown} ${check.unit} | ${rounded(allowed)} ${check.unit} | ${cell(check.note ?? '')} |`;
}

export function pageOfChecks(checks: readonly PublishedCheck[], figureOf: (row: Row) => number): string {
  const total = checks.reduce((sum, check) => sum + check.rows.length, 0);
  const sources = new Set(checks.map((check) => check.source)).size;
  const sections = STANDINGS.flatMap(({ standing, heading }) => {
    const those = checks.filter((check) => check.standing === standing);
    if (those.length === 0) return [];
    const rows = those.reduce((sum, check) => sum + check.rows.length, 0);
    return [
      `## ${heading}`,
      '',
      `${rows} rows.`,
      '',
      '| what is compared | source | rows | largest difference | allowed | remarks |',
      '| --- | --- | ---: | ---: | ---: | --- |',
      ...those.map((check) => line(check, figureOf)),
      '',
    ];
  });
  return [
    '# What the figures are held to',
    '',
    `Every figure the tool works out is compared with figures published elsewhere: ${total} rows from ${sources} sources. This page is written by the tests themselves; the rows stand in the files \`*.checks.ts\` and in \`data/\` beside it.`,
    '',
    ...sections,
  ].join('\n');
}
