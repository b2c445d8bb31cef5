/** Bench trials: rows that blend or treat, rows of tasters, and the row that was chosen. */
import type { Amount, Cell, Item, Part, Span, Word } from '../../../grammar/entries.ts';
import { asWritten, insteadIf } from '../../../grammar/fixes.ts';
import { nearest } from '../../../grammar/suggest.ts';
import { findUnit } from '../../../grammar/units.ts';
import { fold } from '../../../grammar/words.ts';
import type { Place, Target } from '../events.ts';
import type { PlacedRow } from '../files.ts';
import { type Line, sayPart, textOf } from '../line.ts';
import { blindCodes, type Tasting, type TrialPart, type TrialRow, type TrialSaid, UNTREATED } from '../trials.ts';
import { kept } from './bench-and-store.ts';
import { additions, amountOf } from './parts.ts';
import type { Below, VerbReader } from './reader.ts';

const WHOLE = 1_000_000;
/** Parts may be off the whole by so much before it is told: a hundredth, what a measuring glass shows (common practice). */
const OFF_WHOLE = 10_000;

const HELP_ROW =
  'a row says what is tried: `A egg 3 g/hL`, `B LS-free 70 %, LS-p1 30 %`, or `C -` for the wine as it is; a taster’s row begins with the hand: `ana B, A, C`';

export const trial: VerbReader = (line, below) => {
  const targets = line.allTargets(line.entry.head);
  const name = line.items('as')[0]?.parts[0];
  if (name !== undefined && name.type !== 'amount') {
    const known = line.register.place(name.text);
    if (known !== undefined)
      line.fail({
        start: name.start,
        end: name.end,
        code: 'name-taken',
        message: `\`${name.text}\` is a name already`,
        help: 'give every trial a name of its own',
        ...line.relatedTo(known),
      });
    else line.register.addSample({ name: name.text, minute: line.minute, targets, place: line.place });
  }
  const [event] = kept(line, below, targets);
  // rows of wines that are not known say nothing; the line is told of first
  if (line.failure !== undefined) return [event];
  return [{ ...event, trial: trialSaid(line, below, textOf(name).normalize('NFC')) }];
};

function trialSaid(line: Line, below: Below, name: string): TrialSaid {
  const tasted: PlacedRow[] = [];
  const tried: PlacedRow[] = [];
  const names = below.rows.map(({ row }) => fold(row.name.text));
  for (const placed of below.rows) (isTasting(line, placed, names, below.lacking) ? tasted : tried).push(placed);
  const codes = blindCodes(
    name,
    Math.floor(line.minute / 1440),
    tried.map(({ row }) => row.name.text),
  );
  const wines = winesOf(line);
  const rows = tried.map((placed, i) => tryRow(below, placed, codes[i] ?? '', tried.slice(0, i), wines));
  const tastings: Tasting[] = [];
  for (const placed of tasted) tastings.push(...tastingRow(below, placed, rows, tastings));
  const chosen = chosenRow(below, rows);
  return { name, rows, tastings, ...(chosen === undefined ? {} : { chosen }) };
}

/** A number alone, as a score or a code is written. */
const bareNumber = (cell: Cell | undefined): Amount | undefined =>
  cell?.type === 'amount' && cell.unit === undefined && cell.quant === undefined && cell.ask !== true
    ? cell
    : undefined;

/**
 * A row is a taster's where it goes on with another row or a code: what is tried begins with a material or a wine. Where a row
 * could not be read a hand tells, as the row that is named may be that one.
 */
function isTasting(line: Line, { row }: PlacedRow, names: readonly string[], lacking: boolean): boolean {
  const [first] = row.cells;
  if (bareNumber(first) !== undefined) return true;
  if (first?.type !== 'word') return false;
  const { register } = line;
  const isHand = register.hand(row.name.text) !== undefined;
  const isThing = register.material(first.text) !== undefined || register.place(first.text) !== undefined;
  return names.includes(fold(first.text)) ? isHand || !isThing : lacking && isHand && !isThing;
}

/** The hand a taster's row begins with; one that is not declared costs the row. */
function handOf(line: Line, { text, start, end }: Word): string {
  const hand = line.register.hand(text);
  if (hand !== undefined) return hand;
  const near = nearest(text, line.register.hands);
  line.fail({
    start,
    end,
    code: 'name-unknown',
    message: `there is no hand \`${text}\``,
    help: near === undefined ? `declare the hand: \`hand ${text}\`` : `did you mean \`${near}\`?`,
    ...insteadIf({ start, end }, near === undefined ? undefined : asWritten(near)),
    name: text,
  });
  return text;
}

/** The cells between commas, each as an item; a dash alone is none. */
function itemsOf(line: Line, cells: readonly Cell[]): Item[] {
  const items: [Part, ...Part[]][] = [];
  let before: Cell | undefined;
  for (const cell of cells) {
    if (cell.type === 'dash') continue;
    const between = before === undefined ? ',' : line.source.slice(line.start + before.end, line.start + cell.start);
    if (between.includes(',')) items.push([cell]);
    else items.at(-1)?.push(cell);
    before = cell;
  }
  return items.map((parts) => ({ parts, start: parts[0].start, end: parts.at(-1)?.end ?? parts[0].end }));
}

/** A wine the trial is of. */
type Wine = Pick<TrialPart, 'name' | 'target'>;

/** The wines the trial is of, those that are named alone. */
const winesOf = (line: Line): Wine[] =>
  line.entry.head.flatMap((item) => {
    const targets = line.targets(item.parts[0]) ?? [];
    const [target] = targets;
    return target === undefined || targets.length > 1 ? [] : [{ name: textOf(item.parts[0]), target }];
  });

function tryRow(
  below: Below,
  placed: PlacedRow,
  code: string,
  above: readonly PlacedRow[],
  wines: readonly Wine[],
): TrialRow {
  const { row } = placed;
  const own = below.rowLine(placed);
  if (above.some((other) => fold(other.row.name.text) === fold(row.name.text)))
    own.fail({
      start: row.name.start,
      end: row.name.end,
      code: 'name-taken',
      message: `the trial has a row \`${row.name.text}\` already`,
      help: 'give every row a name of its own',
    });
  const items = itemsOf(own, row.cells);
  const [first] = items;
  const untreated =
    first === undefined ||
    (items.length === 1 && first.parts.length === 1 && UNTREATED.has(textOf(first.parts[0]).toLowerCase()));
  const pours = untreated ? [] : items.filter((item) => isPour(own, item));
  const others = untreated ? [] : items.filter((item) => !pours.includes(item));
  const parts = partsTried(own, row.name, pours, wines);
  const added = own.failure === undefined && others.every((item) => isGiven(own, item)) ? additions(own, others) : [];
  below.settle(own);
  return {
    name: row.name.text.normalize('NFC'),
    code,
    said: items.map((item) => item.parts.map(sayPart).join(' ')).join(', '),
    parts: own.failure === undefined ? parts : [],
    additions: own.failure === undefined ? added : [],
    unread: own.failure !== undefined,
    ...(row.remark === undefined ? {} : { remark: row.remark }),
    place: own.place,
  };
}

/** A wine with its share or its volume. */
function isPour(line: Line, item: Item): boolean {
  const [first] = item.parts;
  if (first.type === 'amount') return false;
  const named = line.register.place(first.text);
  return (named?.kind === 'vessel' || named?.kind === 'lot') && line.register.material(first.text) === undefined;
}

/** A material with how much of it; else the row's finding says what a row is. */
function isGiven(line: Line, item: Item): boolean {
  const [first] = item.parts;
  const amount = amountOf(item);
  if (first.type !== 'amount' && amount !== undefined) return !isBelowNothing(line, item, amount);
  line.fail({
    start: item.start,
    end: item.end,
    code: 'trial-row-unread',
    message: `\`${item.parts.map(sayPart).join(' ')}\` says neither what is added, with its rate, nor what is blended, with its share`,
    help: HELP_ROW,
  });
  return false;
}

/** Nothing can be taken out of a glass again: an amount below 0 costs the row. */
function isBelowNothing(line: Line, item: Item, amount: Amount): boolean {
  if (amount.value >= 0) return false;
  line.fail({
    start: amount.start,
    end: amount.end,
    code: 'trial-row-unread',
    message: `\`${sayPart(amount)}\` of \`${textOf(item.parts[0])}\` is less than nothing`,
    help: 'write what went into the glass: 0 or more',
  });
  return true;
}

interface Poured extends Wine {
  readonly amount: number;
  readonly volume: boolean;
}

function partsTried(line: Line, row: Word, pours: readonly Item[], wines: readonly Wine[]): TrialPart[] {
  const read: Poured[] = [];
  for (const item of pours) {
    const [first] = item.parts;
    const amount = amountOf(item);
    const dimension = amount?.unit === undefined ? undefined : findUnit(amount.unit)?.dimension;
    const [target] = line.targets(first) ?? [];
    if (target === undefined) return [];
    if (amount === undefined || (dimension !== 'percent' && dimension !== 'volume') || item.parts.length > 2) {
      line.fail({
        start: item.start,
        end: item.end,
        code: 'trial-row-unread',
        message: `how much of \`${textOf(first)}\` is blended is not told`,
        help: `write its share, \`${textOf(first)} 70 %\`, or what was poured, \`${textOf(first)} 70 mL\``,
      });
      return [];
    }
    if (isBelowNothing(line, item, amount)) return [];
    const base = line.base(amount);
    if (dimension === 'percent' && base > WHOLE) {
      line.fail({
        start: amount.start,
        end: amount.end,
        code: 'trial-row-unread',
        message: `\`${sayPart(amount)}\` of \`${textOf(first)}\` is more than all of the blend`,
        help: 'a share is from 0 to 100 %',
      });
      return [];
    }
    read.push({ name: textOf(first), target, amount: base, volume: dimension === 'volume' });
  }
  const [first] = read;
  if (first === undefined) return [];
  if (read.some(({ volume }) => volume !== first.volume)) {
    line.fail({
      start: row.start,
      end: row.end,
      code: 'trial-row-unread',
      message: `the parts of \`${row.text}\` are told in % and by volume`,
      help: 'write all of them in %, or all of them as volumes',
    });
    return [];
  }
  const sum = read.reduce((total, { amount }) => total + amount, 0);
  if (sum <= 0) {
    line.fail({
      start: row.start,
      end: row.end,
      code: 'trial-row-unread',
      message: `the parts of \`${row.text}\` come to nothing`,
      help: HELP_ROW,
    });
    return [];
  }
  const [rest, more] = wines.filter(({ target }) => !read.some((one) => same(one.target, target)));
  if (!first.volume && sum < WHOLE && rest !== undefined && more === undefined) {
    // the one wine of the trial that is not named makes up the rest
    return inProportion([...read, { ...rest, amount: WHOLE - sum, volume: false }]);
  }
  if (!first.volume && Math.abs(sum - WHOLE) > OFF_WHOLE)
    line.remark({
      start: row.start,
      end: row.end,
      code: 'trial-parts-off',
      message: `the parts of \`${row.text}\` come to ${String(sum / 10_000)} %, not to 100 %`,
      help: 'mend the shares; they are taken in proportion until then',
    });
  return inProportion(read);
}

const same = (a: Target, b: Target): boolean => JSON.stringify(a) === JSON.stringify(b);

function inProportion(poured: readonly Poured[]): TrialPart[] {
  const sum = poured.reduce((total, { amount }) => total + amount, 0);
  return poured.map(({ name, target, amount }) => ({ name, target, share: Math.round((amount * WHOLE) / sum) }));
}

/** The row a taster means by its name or by its code; -1 where there is none. */
const rowMeant = (rows: readonly TrialRow[], cell: Cell): number => {
  if (cell.type === 'amount') return rows.findIndex(({ code }) => code === bareNumber(cell)?.text);
  if (cell.type === 'dash') return -1;
  return rows.findIndex(({ name }) => fold(name) === fold(cell.text));
};

/** What a tasting says between two commas. */
interface Told extends Span {
  readonly parts: readonly Cell[];
}

const sayCell = (cell: Cell): string => (cell.type === 'dash' ? '-' : sayPart(cell));

/** None where it could not be read, or where the hand has tasted already: the first of a hand's tastings counts. */
function tastingRow(
  below: Below,
  placed: PlacedRow,
  rows: readonly TrialRow[],
  above: readonly Tasting[],
): readonly [] | readonly [Tasting] {
  const { row } = placed;
  const own = below.rowLine(placed);
  const hand = handOf(own, row.name);
  const before = above.find((one) => one.hand === hand);
  if (before !== undefined) {
    own.fail({
      start: row.name.start,
      end: row.name.end,
      code: 'tasting-unread',
      message: `\`${hand}\` has a tasting in this trial already: only the first one counts`,
      help: 'leave one of the two, or write the hand whose it is; wines tasted again are a trial of their own',
      related: { place: before.place, message: `the first tasting of \`${hand}\`` },
    });
    below.settle(own);
    return [];
  }
  const items = itemsOf(own, row.cells);
  // what stands alone between commas is an order, what has a figure behind it a score
  const scored = items.some(({ parts }) => parts.length > 1);
  const order: number[] = [];
  const scores: { row: number; score: number }[] = [];
  const told: readonly Told[] = scored
    ? items
    : row.cells.map((cell) => ({ parts: [cell], start: cell.start, end: cell.end }));
  for (const { parts, start, end } of told) {
    const [cell, figure, stray] = parts;
    const meant = cell === undefined ? -1 : rowMeant(rows, cell);
    const twice = order.includes(meant) || scores.some((one) => one.row === meant);
    const score = bareNumber(figure);
    const whole = score === undefined ? !scored : score.high === undefined && stray === undefined;
    // it may be the row that could not be read
    if (meant < 0 && below.lacking) return [];
    if (meant < 0 || twice || !whole) {
      unreadTasting(own, { start, end }, parts.map(sayCell).join(' '), twice, rows);
      break;
    }
    if (score === undefined) order.push(meant);
    else scores.push({ row: meant, score: score.value });
  }
  below.settle(own);
  if (own.failure !== undefined) return [];
  const remark = row.remark === undefined ? {} : { remark: row.remark };
  return [{ hand, order, scores, ...remark, place: own.place }];
}

function unreadTasting(
  line: Line,
  span: { start: number; end: number },
  said: string,
  twice: boolean,
  rows: readonly TrialRow[],
): void {
  const names = rows.map(({ name }) => name).slice(0, 3);
  line.fail({
    ...span,
    code: 'tasting-unread',
    message: twice
      ? `\`${said}\` stands twice in this tasting`
      : `\`${said}\` is no row of this trial and no code of one`,
    help: `write the rows or their codes, best first: \`${names.join(', ')}\`; or each with its score: \`${names
      .map((name, i) => `${name} ${15 - i}`)
      .join(', ')}\``,
  });
}

/** The row that was chosen, by the first `choose` that names one. */
function chosenRow(below: Below, rows: readonly TrialRow[]): number | undefined {
  let chosen: { readonly row: number; readonly place: Place } | undefined;
  for (const child of below.children) {
    if (child.entry.struck || child.entry.verb !== 'choose') continue;
    const own = below.child(child);
    const part = child.entry.head[0]?.parts[0];
    const meant = part === undefined ? -1 : rowMeant(rows, part);
    if (part !== undefined && meant < 0 && !below.lacking) {
      const near = nearest(
        textOf(part),
        rows.map(({ name }) => name),
      );
      own.fail({
        start: part.start,
        end: part.end,
        code: 'name-unknown',
        message: `the trial has no row \`${sayPart(part)}\``,
        help: near === undefined ? 'choose one of its rows, by its name or its code' : `did you mean \`${near}\`?`,
        ...insteadIf(part, near === undefined ? undefined : asWritten(near)),
      });
    } else if (part !== undefined && meant >= 0) {
      if (chosen === undefined) chosen = { row: meant, place: own.place };
      else
        own.fail({
          start: part.start,
          end: part.end,
          code: 'tasting-unread',
          message: `a trial has one choice: row \`${rows[chosen.row]?.name ?? ''}\` is chosen already`,
          help: 'leave one of the two; a blend of both rows is a row of its own',
          related: { place: chosen.place, message: 'the first choice' },
        });
    }
    own.hands();
    below.settle(own);
  }
  return chosen?.row;
}
