/** Figures worked out by hand in the comments of a good case, and what the program makes of them. */
import type { Book, LotRecord } from '../../src/cellar/book.ts';
import type { SourceFile } from '../../src/journal/files.ts';

export interface ByHand {
  /** The comment as written: `lot LS made 1340 L`. */
  readonly said: string;
  /** What stands in the comment, and what the book has, rounded to as many decimals. */
  readonly expected: string;
  readonly is: string;
}

const COMMENT = /^\ufeff?# by hand: (.+?)\r?$/gm;
const FIGURE =
  /^(?:vessel (?<vessel>".+?"|\S+) (?<holds>\S+)|lot (?<lot>\S+) (?<account>\w+)|fruit (?<fruit>\S+) (?<mass>\w+)|origin (?<blend>\S+) (?<block>\S+)|added (?<added>\S+) to (?<to>\S+)|carried (?<carried>\S+) into (?<into>\S+)|bottles (?<bottling>\S+)) (?<figure>-?[\d.]+) (?<unit>L|kg|g|mL|pieces|x \d+ mL)$/;

/** One unit in the book's own. */
const PER: Readonly<Record<string, number>> = { L: 1e6, kg: 1e9, g: 1e6, mL: 1000, pieces: 1 };

const isAccount = (lot: LotRecord, name: string): name is keyof LotRecord['account'] =>
  Object.hasOwn(lot.account, name);
const isFruit = (lot: LotRecord, name: string): name is keyof LotRecord['fruit'] => Object.hasOwn(lot.fruit, name);

/** The book's figure for a comment, in the book's own unit; not a number where there is none. */
function figureOf(book: Book, groups: Readonly<Record<string, string | undefined>>, unit: string): number {
  const lotNamed = (name: string | undefined): LotRecord | undefined =>
    book.lots.find((lot) => lot.facts.name === name);
  const materialNamed = (name: string | undefined): number =>
    book.materials.findIndex((material) => material.name === name);
  if (groups.vessel !== undefined) {
    const name = groups.vessel.replaceAll('"', '');
    const vessel = book.vessels.find((one) => one.facts.name === name);
    if (vessel === undefined) return Number.NaN;
    const holds = vessel.lot === undefined ? '-' : book.lots[vessel.lot]?.facts.name;
    return holds === groups.holds ? vessel.content.volume : Number.NaN;
  }
  if (groups.bottling !== undefined) {
    const size = Number(/\d+/.exec(unit)?.[0]) * 1000;
    return lotNamed(groups.bottling)?.bottles.find((one) => one.size === size)?.count ?? Number.NaN;
  }
  const lot = lotNamed(groups.lot ?? groups.fruit ?? groups.blend ?? groups.to ?? groups.into);
  if (lot === undefined) return Number.NaN;
  if (groups.account !== undefined) {
    if (groups.account === 'onHand') return lot.onHand;
    return isAccount(lot, groups.account) ? lot.account[groups.account] : Number.NaN;
  }
  if (groups.mass !== undefined) return isFruit(lot, groups.mass) ? lot.fruit[groups.mass] : Number.NaN;
  if (groups.block !== undefined) {
    return lot.composition
      .filter(({ origin }) => book.origins[origin]?.block === groups.block)
      .reduce((sum, { volume }) => sum + volume, 0);
  }
  const addition = lot.additions.find((one) => one.material === materialNamed(groups.added ?? groups.carried));
  return (groups.added === undefined ? addition?.carriedIn : addition?.direct) ?? Number.NaN;
}

/** Every figure worked out by hand in a journal; a comment that says none of the known kinds is held to be wrong. */
export function byHand(files: readonly SourceFile[], book: Book): ByHand[] {
  return files.flatMap(({ text }) =>
    [...text.matchAll(COMMENT)].map(([, said = '']): ByHand => {
      const groups = FIGURE.exec(said)?.groups;
      if (groups === undefined) return { said, expected: 'a figure of a known kind', is: 'none' };
      const { figure = '', unit = '' } = groups;
      const decimals = figure.split('.')[1]?.length ?? 0;
      const is = figureOf(book, groups, unit) / (PER[unit] ?? 1);
      return { said, expected: Number(figure).toFixed(decimals), is: is.toFixed(decimals) };
    }),
  );
}
