/** The book as tables for a spreadsheet: the figures of the JSON export, a thing a row, each column with its meaning and unit. */
import { findAnalyte } from '../../grammar/analytes.ts';
import type { Book, Happening } from '../cellar/book.ts';
import type { Cell } from './csv.ts';
import { isoDay } from './dates.ts';
import { exportBook, timestamp } from './export.ts';

export interface TableColumn {
  readonly name: string;
  /** Empty where a figure has none, or where it is no figure. */
  readonly unit: string;
  readonly meaning: string;
}

export interface Table {
  /** The file's name without its ending. */
  readonly name: string;
  /** What a row is. */
  readonly say: string;
  readonly columns: readonly TableColumn[];
  readonly rows: readonly (readonly Cell[])[];
}

/** A column and how its cell is had from the thing a row tells of. */
type ColumnOf<Row> = readonly [name: string, unit: string, meaning: string, of: (row: Row) => Cell];

function table<Row>(name: string, say: string, rows: readonly Row[], columns: readonly ColumnOf<Row>[]): Table {
  return {
    name,
    say,
    columns: columns.map(([head, unit, meaning]) => ({ name: head, unit, meaning })),
    rows: rows.map((row) => columns.map(([, , , of]) => of(row))),
  };
}

type Exported = ReturnType<typeof exportBook>;

/** Several in one cell. */
const BETWEEN = '; ';
const several = (texts: readonly string[]): string => texts.join(BETWEEN);

const TIME = 'day and minute';

interface FromLine {
  readonly source: { readonly file: string; readonly line: number };
}

/** Where in the journal a row comes from: the last two columns of most tables. */
const SOURCE: readonly ColumnOf<FromLine>[] = [
  ['file', '', 'The journal file it stands in, from the folder of the journal.', ({ source }) => source.file],
  ['line', '', 'The line of that file.', ({ source }) => source.line],
];

function events(book: Book): Table {
  return table<Happening>('events', 'An entry of the journal, in the order of time.', book.happenings, [
    ['at', TIME, "When it happened, on the cellar's own clock.", ({ event }) => timestamp(event.minute)],
    [
      'until',
      TIME,
      'When it ended, where that was written.',
      ({ event }) => (event.until === undefined ? null : timestamp(event.until)),
    ],
    ['verb', '', 'The verb of the entry.', ({ event }) => event.verb],
    [
      'vessels',
      '',
      'The vessels it touched.',
      ({ vessels }) => several(vessels.map((id) => book.vessels[id]?.facts.name ?? '')),
    ],
    ['lots', '', 'The lots it touched.', ({ lots }) => several(lots.map((id) => book.lots[id]?.facts.name ?? ''))],
    ['hands', '', 'Who did it.', ({ event }) => several(event.hands)],
    ['sentence', '', 'What was done, as a sentence, in the units of the reports.', ({ sentence }) => sentence],
    ['remark', '', 'The remark at the end of its line.', ({ event }) => event.remark ?? null],
    ['note', '', 'The note below it, as written.', ({ event }) => event.note ?? null],
    [
      'written',
      'day',
      'The day it was written down, where that was later.',
      ({ event }) => (event.written === undefined ? null : isoDay(event.written)),
    ],
    [
      'file',
      '',
      'The journal file it stands in, from the folder of the journal.',
      ({ event }) => book.files[event.place.file]?.path ?? '',
    ],
    ['line', '', 'The line of that file.', ({ event }) => event.place.line],
  ]);
}

function readings({ readings: all }: Exported): Table {
  const each = all.flatMap((reading) => reading.of.map((of) => ({ ...reading, of })));
  return table('readings', 'One figure that was measured, of one vessel, lot or block.', each, [
    ['at', TIME, 'When it was measured; for a sample, when that was drawn.', ({ at }) => at],
    ['of', '', 'The vessel, lot or block it is a figure of.', ({ of }) => of],
    ['sample', '', 'The name of the sample it was measured on.', ({ sample }) => sample ?? null],
    ['measurement', '', 'What was measured.', ({ analyte }) => analyte],
    ['value', 'that of the column unit', 'The figure.', ({ value }) => value],
    ['unit', '', 'The unit of the figure.', ({ analyte }) => findAnalyte(analyte)?.unit ?? ''],
    ['mark', '', '~ an estimate, < below or > above what the method sees; else empty.', ({ mark }) => mark],
    ['said', '', 'The figure and its unit as written.', ({ said }) => said],
    ...SOURCE,
  ]);
}

function additions({ additions: all }: Exported): Table {
  return table('additions', 'A material added to one vessel.', all, [
    ['at', TIME, 'When it was added.', ({ at }) => at],
    ['vessel', '', 'The vessel it was added to.', ({ vessel }) => vessel],
    ['lot', '', 'The lot in that vessel.', ({ lot }) => lot],
    ['material', '', 'The material.', ({ material }) => material],
    ['grams', 'g', 'How much, where it goes by weight.', ({ grams }) => grams],
    ['millilitres', 'mL', 'How much, where it goes by volume.', ({ millilitres }) => millilitres],
    ['pieces', 'pieces', 'How many, where it is counted.', ({ pieces }) => pieces],
    ['into_litres', 'L', 'The volume it went into.', ({ intoLitres }) => intoLitres],
    [
      'brings',
      'mg/L',
      'What it brings and how much of that, by its formula.',
      ({ brings }) => several(brings.map((one) => `${one.analyte} ${one.milligramsPerLitre}`)),
    ],
    ...SOURCE,
  ]);
}

function movements({ movements: all }: Exported): Table {
  return table('movements', 'A volume that moved, came, went, or took another name.', all, [
    ['at', TIME, 'When.', ({ at }) => at],
    ['verb', '', 'The verb of the entry that moved it.', ({ verb }) => verb],
    [
      'kind',
      '',
      'How: moved, renamed or set-apart within the cellar; what came in or went out, and bottles, by their kind.',
      ({ kind }) => kind,
    ],
    ['from', '', 'The vessel it left.', ({ from }) => from],
    ['from_lot', '', 'The lot it left.', ({ fromLot }) => fromLot],
    ['to', '', 'The vessel it came to.', ({ to }) => to],
    ['to_lot', '', 'The lot it came to.', ({ toLot }) => toLot],
    ['litres', 'L', 'The volume.', ({ litres }) => litres],
    ...SOURCE,
  ]);
}

type LotRow = Exported['lots'][number];

/** The account of a lot, a column a posting: its key in the export, and what it tells. */
const ACCOUNT: readonly (readonly [key: string, name: string, meaning: string])[] = [
  ['made', 'made_litres', 'Made from fruit.'],
  ['bought', 'bought_litres', 'Bought.'],
  ['found', 'found_litres', 'There on the first day.'],
  ['blendedIn', 'blended_in_litres', 'Come from other lots.'],
  ['liquids', 'liquids_litres', 'Water and solutions added.'],
  ['dipGains', 'dip_gains_litres', 'More measured by dips than the book had.'],
  ['settled', 'settled_litres', 'What the estimates of must had too little; too much is negative.'],
  ['blendedOut', 'blended_out_litres', 'Gone to other lots.'],
  ['setApart', 'set_apart_litres', 'Set apart as another lot.'],
  ['bottled', 'bottled_litres', 'Bottled.'],
  ['dispatched', 'dispatched_litres', 'Gone from the cellar.'],
  ['samples', 'samples_litres', 'Drawn as samples.'],
  ['lees', 'lees_litres', 'Left as lees.'],
  ['pomace', 'pomace_litres', 'Left in the pomace.'],
  ['losses', 'losses_litres', 'Lost, of any cause.'],
  ['evaporation', 'evaporation_litres', 'Evaporated.'],
  ['dipLosses', 'dip_losses_litres', 'Less measured by dips than the book had.'],
];

function lots({ lots: all }: Exported): Table {
  const fruit = (key: keyof LotRow['fruit'], name: string, unit: string, meaning: string): ColumnOf<LotRow> => [
    name,
    unit,
    meaning,
    (lot) => lot.fruit[key],
  ];
  return table<LotRow>('lots', 'A lot: what it is, what is left of it, and its account.', all, [
    ['lot', '', 'Its name.', ({ name }) => name],
    ['formerly', '', 'Names it had before.', ({ formerly }) => several(formerly)],
    ['stage', '', 'fruit, must, juice, fermenting, wine, bottled or gone.', ({ stage }) => stage],
    ['colour', '', 'red, white or rosé, where that is known.', ({ colour }) => colour],
    ['on_hand_litres', 'L', 'What is there, in vessels and bottles.', ({ onHandLitres }) => onHandLitres],
    ['estimated', 'yes or no', 'Whether that follows from an estimate.', ({ estimated }) => estimated],
    ['vessels', '', 'The vessels that hold it.', ({ vessels }) => several(vessels)],
    [
      'bottles',
      '',
      'Bottles that are there, by size: count x litres.',
      ({ bottles }) => several(bottles.map(({ count, sizeLitres }) => `${count} x ${sizeLitres} L`)),
    ],
    ...ACCOUNT.map(
      ([key, name, meaning]): ColumnOf<LotRow> => [name, 'L', meaning, ({ account }) => account[key] ?? null],
    ),
    fruit('receivedKilograms', 'fruit_received_kilograms', 'kg', 'Fruit received.'),
    fruit('sortedKilograms', 'fruit_sorted_kilograms', 'kg', 'Fruit sorted out.'),
    fruit('stemsKilograms', 'stems_kilograms', 'kg', 'Stems.'),
    fruit('usedKilograms', 'fruit_used_kilograms', 'kg', 'Fruit crushed or pressed.'),
    fruit('waitingKilograms', 'fruit_waiting_kilograms', 'kg', 'Fruit that waits.'),
    fruit('pomaceKilograms', 'pomace_kilograms', 'kg', 'Pomace.'),
    fruit(
      'litresPerTonne',
      'litres_per_tonne',
      'L/t',
      'Wine yield: free run and pressings with their lees, over the fruit used; empty until it is pressed.',
    ),
    ...SOURCE,
  ]);
}

function vessels({ vessels: all }: Exported): Table {
  return table('vessels', 'A vessel and what is in it.', all, [
    ['vessel', '', 'Its name.', ({ name }) => name],
    ['kind', '', 'Its kind.', ({ kind }) => kind],
    ['capacity_litres', 'L', 'What it takes.', ({ capacityLitres }) => capacityLitres],
    ['at', '', 'Where it stands.', ({ at }) => at],
    ['details', '', 'What else was written of it.', ({ details }) => several(details)],
    ['lot', '', 'The lot in it; empty for an empty vessel.', ({ lot }) => lot],
    ['litres', 'L', 'What it holds.', ({ litres }) => litres],
    ['estimated', 'yes or no', 'Whether that follows from an estimate.', ({ estimated }) => estimated],
    ['doubtful', 'yes or no', 'Whether a line that could not be read may have touched it.', ({ doubtful }) => doubtful],
    ['retired', 'yes or no', 'Whether it is out of use.', ({ retired }) => retired],
    ['since', TIME, 'When the lot came into it.', ({ since }) => since],
    ...SOURCE,
  ]);
}

interface MonthRow {
  readonly month: string;
  readonly section: 'bulk' | 'bottled';
  readonly direction: 'start' | 'in' | 'out' | 'end';
  readonly kind: string;
  readonly litres: number;
}

function monthVolumes({ months }: Exported): Table {
  const rows = months.flatMap((month) =>
    (['bulk', 'bottled'] as const).flatMap((section): MonthRow[] => {
      const { start, in: came, out: went, end } = month[section];
      const row = (direction: MonthRow['direction'], kind: string, litres: number): MonthRow => ({
        month: month.month,
        section,
        direction,
        kind,
        litres,
      });
      return [
        row('start', '', start),
        ...Object.entries(came).map(([kind, litres]) => row('in', kind, litres)),
        ...Object.entries(went).map(([kind, litres]) => row('out', kind, litres)),
        row('end', '', end),
      ];
    }),
  );
  return table('month-volumes', 'A volume of a month: start + in - out = end, in bulk and in bottles.', rows, [
    ['month', 'month', 'The month.', ({ month }) => month],
    ['section', '', 'bulk in vessels, bottled in bottles.', ({ section }) => section],
    ['direction', '', 'start, in, out or end.', ({ direction }) => direction],
    ['kind', '', 'How it came or went; empty for start and end.', ({ kind }) => kind],
    ['litres', 'L', 'The volume.', ({ litres }) => litres],
  ]);
}

function composition({ lots: all }: Exported): Table {
  const rows = all.flatMap((lot) => lot.composition.map((part) => ({ lot: lot.name, ...part })));
  return table('composition', 'One origin of the wine of a lot: of what is on hand, or of what it was last.', rows, [
    ['lot', '', 'The lot.', ({ lot }) => lot],
    ['block', '', 'The block it grew in.', ({ block }) => block],
    ['variety', '', 'The grape.', ({ variety }) => variety],
    ['vintage', 'year', 'The vintage.', ({ vintage }) => vintage],
    ['region', '', 'The region.', ({ region }) => region],
    ['grower', '', 'Who grew it.', ({ grower }) => grower],
    ['estate', 'yes or no', 'Whether it is estate grown.', ({ estate }) => estate],
    ['run', '', 'free run or press run, where that is known.', ({ run }) => run],
    ['litres', 'L', 'The volume of this origin.', ({ litres }) => litres],
    ['share', 'share of 1', 'Its share, added liquids left out.', ({ share }) => share],
  ]);
}

function findings({ findings: all }: Exported): Table {
  return table('findings', 'Something to say of the journal.', all, [
    ['file', '', 'The file; empty where it is about the folder.', ({ file }) => file ?? null],
    ['line', '', 'The line; 0 for the whole file.', ({ line }) => line],
    ['column', 'UTF-16 code units', 'Where in the line it begins, from 1.', ({ column }) => column],
    ['end_column', 'UTF-16 code units', 'One past where it ends.', ({ endColumn }) => endColumn],
    ['code', '', 'Its code, as `ullage explain` takes it.', ({ code }) => code],
    ['severity', '', 'error, warning or note.', ({ severity }) => severity],
    ['message', '', 'What is wrong.', ({ message }) => message],
    ['help', '', 'What to write instead.', ({ help }) => help ?? null],
    [
      'related',
      '',
      'Other places that belong to it.',
      ({ related }) => several(related.map(({ file, line, message }) => `${file ?? ''}:${line} ${message}`)),
    ],
  ]);
}

/** Every table of a book. */
export function bookTables(book: Book): Table[] {
  const exported = exportBook(book);
  return [
    events(book),
    readings(exported),
    additions(exported),
    movements(exported),
    lots(exported),
    vessels(exported),
    monthVolumes(exported),
    composition(exported),
    findings(exported),
  ];
}
