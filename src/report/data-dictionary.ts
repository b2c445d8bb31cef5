/** What every column of every table means, as a table of its own and as a page. */
import type { Table } from './tables.ts';

export const DICTIONARY = 'data-dictionary';

/** The dictionary as a table, itself in it. */
export function dictionaryTable(tables: readonly Table[]): Table {
  const own: Table = {
    name: DICTIONARY,
    say: 'A column of a table.',
    columns: [
      { name: 'table', unit: '', meaning: 'The table: the name of its file without `.csv`.' },
      { name: 'column', unit: '', meaning: 'The column.' },
      { name: 'unit', unit: '', meaning: 'The unit of its figures; empty where they have none or it holds text.' },
      { name: 'meaning', unit: '', meaning: 'What it holds.' },
    ],
    rows: [],
  };
  return {
    ...own,
    rows: [...tables, own].flatMap(({ name, columns }) =>
      columns.map((column) => [name, column.name, column.unit, column.meaning]),
    ),
  };
}

/** The dictionary as Markdown, with how the files are to be read. */
export function dictionaryPage(tables: readonly Table[], on: string): string {
  const rules = [
    'The files are CSV as RFC 4180 has it: UTF-8, a comma between cells, text in double quotes where it has to be, a quote within it doubled, every line ended by a carriage return and a line feed. The first line names the columns.',
    'A figure has a decimal point, no mark between thousands, and the unit of its column. An empty cell is not known or not given; it is never nought.',
    'A day is `2026-09-14`, a minute `2026-09-14T07:40` on the clock of the cellar, without a zone. Where one cell holds several things, `; ` stands between them.',
    'Text that a spreadsheet could take for a formula, as it begins with `=`, `+`, `-`, `@`, a tab or a line break, and text that begins with an apostrophe, has an apostrophe before it. To have the text as it was written, take one apostrophe off the beginning of a text cell. Figures are never changed, so a temperature of -1.3 stays a figure.',
  ];
  const sections = tables.map(({ name, say, columns }) =>
    [
      `## ${name}.csv`,
      say,
      [
        '| column | unit | meaning |',
        '| --- | --- | --- |',
        ...columns.map(({ name: head, unit, meaning }) => `| \`${head}\` | ${unit} | ${meaning} |`),
      ].join('\n'),
    ].join('\n\n'),
  );
  return `${['# What the tables hold', `As of ${on}.`, ...rules, ...sections].join('\n\n')}\n`;
}
