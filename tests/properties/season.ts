/** Random seasons: movements as plain data that a cellar could make, and the journal a crew would have written of them. */
import fc from 'fast-check';
import type { SourceFile } from '../../src/journal/files.ts';
import { type Into, Ledger, type Movement, type VesselSize, type Volume } from './ledger.ts';

const MILLILITRE = 1000n;
const LITRE = 1_000_000n;

export const VESSELS: readonly VesselSize[] = [
  ...['T1', 'T2', 'T3', 'T4', 'T5'].map((name) => ({ name, capacity: 1200n * LITRE })),
  ...['FB-1', 'FB-2', 'FB-3'].map((name) => ({ name, capacity: 225n * LITRE })),
  ...['K1', 'K2', 'K3'].map((name) => ({ name, capacity: 50n * LITRE })),
];

/** Blocks, all of white grapes, so that fruit may be pressed as it comes. */
const BLOCKS = ['shade-1', 'shade-2', 'shade-3', 'shade-4'];
const VINTAGE = 2026;

/** The day seasons begin. */
export const FIRST_DAY = Date.UTC(VINTAGE, 8, 24) / 86_400_000;
const dateOf = (day: number): string => new Date((FIRST_DAY + day) * 86_400_000).toISOString().slice(0, 10);

/** An origin as the ledger names it. */
export const originKey = (block: string, vintage: number): string => `${block} of ${vintage}`;

export interface Dated {
  /** Days after the first. */
  readonly day: number;
  readonly minute: number;
  readonly movement: Movement;
}

export interface Season {
  readonly entries: readonly Dated[];
}

/** What chance says of one movement; what it means depends on what the cellar holds by then. */
type Chance = readonly [kind: number, which: number, other: number, third: number, amount: number, flag: number];

// without bias: the edges of chance would make every other movement a filling or a bottling
const chances = (length: { minLength: number; maxLength: number }): fc.Arbitrary<Chance[]> =>
  fc.array(fc.noBias(fc.tuple(fc.nat(99), fc.nat(999), fc.nat(999), fc.nat(999), fc.nat(9999), fc.nat(99))), {
    ...length,
    size: 'max',
  });

const wholeMillilitres = (volume: Volume): Volume => (volume / MILLILITRE) * MILLILITRE;
const least = (a: Volume, b: Volume): Volume => (a < b ? a : b);
const pick = <T>(list: readonly T[], which: number): T | undefined => list[which % Math.max(1, list.length)];

/** Turns chance into movements, each of which the cellar can make when its turn comes. */
class Builder {
  readonly ledger = new Ledger(VESSELS);
  readonly entries: Dated[] = [];
  private lots = 0;
  private day = 0;
  private minute = 480;

  private fresh(): string {
    this.lots++;
    return `W${this.lots}`;
  }

  private make(movement: Movement): void {
    this.ledger.apply(movement);
    this.entries.push({ day: this.day, minute: this.minute, movement });
    this.minute += 3;
    if (this.minute > 1200) {
      this.minute = 480;
      this.day++;
    }
  }

  private full(): string[] {
    return VESSELS.map(({ name }) => name).filter((name) => this.ledger.volumeOf(name) >= 4n * LITRE);
  }
  private room(except: readonly string[], space: Volume): string[] {
    return VESSELS.map(({ name }) => name).filter(
      (name) => !except.includes(name) && this.ledger.spaceIn(name) >= space,
    );
  }
  private empty(): string[] {
    return VESSELS.map(({ name }) => name).filter((name) => this.ledger.volumeOf(name) === 0n);
  }

  /** The name that is needed where wine of one lot goes into vessels of others, if one is. */
  private as(from: string | undefined, targets: readonly string[], flag: number): string | undefined {
    const there = targets.map((name) => this.ledger.lotOf(name)).filter((lot) => lot !== undefined && lot !== from);
    if (there.length === 0) return flag < 10 ? this.fresh() : undefined;
    return flag < 50 ? this.fresh() : there[0];
  }

  private fill([, which, other, third, amount, flag]: Chance): void {
    const vessel = pick(this.empty(), which);
    if (vessel === undefined) return;
    const capacity = this.ledger.spaceIn(vessel);
    const volume = wholeMillilitres((capacity * BigInt(3000 + (amount % 6999))) / 10_000n);
    const first = pick(BLOCKS, other) ?? '';
    const second = pick(BLOCKS, other + 1 + (third % 3)) ?? '';
    if (flag < 50) {
      const percent = BigInt(1 + (third % 99));
      this.make({
        kind: 'found',
        into: { vessel, volume },
        lot: this.fresh(),
        origins: [
          [originKey(first, VINTAGE - 1), percent],
          [originKey(second, VINTAGE - 1), 100n - percent],
        ],
      });
      return;
    }
    // fruit that comes in after the turn of the year is of the next vintage, whatever the hemisphere
    const vintage = Number(dateOf(this.day).slice(0, 4));
    // 700 to 730 litres of juice a tonne of fruit, from two blocks
    const kilograms = volume / 715_000n;
    const part = (kilograms * BigInt(100 + (third % 800))) / 1000n;
    if (part === 0n || part === kilograms) return;
    this.make({
      kind: 'pressed',
      into: { vessel, volume },
      lot: this.fresh(),
      origins: [
        [originKey(first, vintage), part],
        [originKey(second, vintage), kilograms - part],
      ],
    });
    // the pressing itself takes the minute after the weighing
    this.minute += 3;
  }

  private transfer([, which, other, third, amount, flag]: Chance): void {
    const from = pick(this.full(), which);
    if (from === undefined) return;
    const lot = this.ledger.lotOf(from);
    const most = (this.ledger.volumeOf(from) * BigInt(500 + (amount % 9000))) / 10_000n;
    const to = pick(this.room([from], LITRE), other);
    if (to === undefined) return;
    const parts: Into[] = [{ vessel: to, volume: wholeMillilitres(least(most, this.ledger.spaceIn(to))) }];
    const left = most - (parts[0]?.volume ?? 0n);
    const next = pick(this.room([from, to], LITRE), third);
    if (left > LITRE && next !== undefined)
      parts.push({ vessel: next, volume: wholeMillilitres(least(left, this.ledger.spaceIn(next))) });
    const as = this.as(
      lot,
      parts.map(({ vessel }) => vessel),
      flag,
    );
    this.make({ kind: 'transferred', from, parts, ...(as === undefined ? {} : { as }) });
  }

  private rack([, which, other, third, amount, flag]: Chance): void {
    const from = pick(this.full(), which);
    if (from === undefined) return;
    const held = this.ledger.volumeOf(from);
    const lees = wholeMillilitres((held * BigInt(amount % 300)) / 10_000n);
    const first = pick(this.room([from], LITRE), other);
    if (first === undefined) return;
    const volume = wholeMillilitres(least((held - lees) / 3n, this.ledger.spaceIn(first)));
    const last = pick(this.room([from, first], held - lees - volume), third);
    if (last === undefined) return;
    const as = this.as(this.ledger.lotOf(from), [first, last], flag);
    this.make({
      kind: 'racked',
      from,
      parts: [{ vessel: first, volume }],
      last,
      lees,
      ...(as === undefined ? {} : { as }),
    });
  }

  private draw([, which, other, , amount, flag]: Chance): void {
    const lots = [...this.ledger.lotVolumes().keys()].filter((lot) => this.ledger.holding(lot).length > 1);
    const lot = pick(lots, which);
    if (lot === undefined) return;
    const to = pick(this.room([], LITRE), other);
    if (to === undefined) return;
    const sources = this.ledger.holding(lot).filter((name) => name !== to);
    // the rest of a proportional draw comes from the last vessel: it must have it
    if (sources.length === 0 || sources.some((name) => this.ledger.volumeOf(name) < LITRE)) return;
    const total = sources.reduce((sum, name) => sum + this.ledger.volumeOf(name), 0n);
    const volume = wholeMillilitres(least((total * BigInt(500 + (amount % 8000))) / 10_000n, this.ledger.spaceIn(to)));
    if (volume < LITRE) return;
    const as = this.as(lot, [to], flag);
    this.make({ kind: 'drawn', lot, into: { vessel: to, volume }, ...(as === undefined ? {} : { as }) });
  }

  private blend([, which, other, third, amount]: Chance): void {
    const full = this.full();
    const one = pick(full, which);
    const two = pick(
      full.filter((name) => name !== one),
      other,
    );
    if (one === undefined || two === undefined) return;
    // the first is emptied, of the second a part is taken
    const part = wholeMillilitres((this.ledger.volumeOf(two) * BigInt(1000 + (amount % 8000))) / 10_000n);
    const sources = [
      { vessel: one, volume: this.ledger.volumeOf(one) },
      { vessel: two, volume: part },
    ];
    const total = sources.reduce((sum, { volume }) => sum + volume, 0n);
    const loss = wholeMillilitres((total * BigInt(amount % 100)) / 10_000n);
    const to = pick(this.room([one, two], total - loss), third);
    if (to === undefined) return;
    this.make({ kind: 'blended', sources, to, loss, as: this.fresh() });
  }

  private top([, which, other, , amount]: Chance): void {
    const vessel = pick(
      this.full().filter((name) => this.ledger.spaceIn(name) < 20n * LITRE),
      which,
    );
    if (vessel === undefined) return;
    const volume = this.ledger.spaceIn(vessel) + BigInt(amount % 1500) * MILLILITRE;
    const from = pick(
      this.full().filter(
        (name) =>
          name !== vessel &&
          this.ledger.volumeOf(name) >= volume &&
          (this.ledger.lotOf(name) === this.ledger.lotOf(vessel) || volume * 25n < this.ledger.volumeOf(vessel)),
      ),
      other,
    );
    if (from === undefined || volume === 0n) return;
    this.make({ kind: 'topped', vessel, from: { vessel: from, volume } });
  }

  private leave([, which, , third, amount, flag]: Chance): void {
    const sold = [...this.ledger.lotVolumes().keys()].filter((lot) => this.ledger.bottlesOf(lot) > 0n);
    const bottling = flag < 40 ? pick(sold, third) : undefined;
    if (bottling !== undefined) {
      const size = 750_000n;
      const bottles = 1n + ((this.ledger.bottlesOf(bottling) / size - 1n) * BigInt(amount)) / 10_000n;
      this.make({ kind: 'sold', lot: bottling, bottles, size });
      return;
    }
    const vessel = pick(this.full(), which);
    if (vessel === undefined) return;
    const volume = wholeMillilitres((this.ledger.volumeOf(vessel) * BigInt(amount % 3000)) / 10_000n);
    if (volume > 0n) this.make({ kind: flag < 70 ? 'lost' : 'dispatched', from: { vessel, volume } });
  }

  private dip([, which, , , amount]: Chance): void {
    const vessel = pick(this.full(), which);
    if (vessel === undefined) return;
    const held = this.ledger.volumeOf(vessel);
    const measured = held + wholeMillilitres((held * BigInt((amount % 160) - 80)) / 10_000n);
    if (measured <= this.ledger.spaceIn(vessel) + held) this.make({ kind: 'dipped', at: { vessel, volume: measured } });
  }

  private add([, which, , third, amount, flag]: Chance): void {
    const vessel = pick(this.full(), which);
    if (vessel === undefined) return;
    if (flag < 25) {
      const volume = BigInt(1 + (amount % 5000)) * MILLILITRE;
      if (this.ledger.spaceIn(vessel) >= volume) this.make({ kind: 'watered', into: { vessel, volume } });
      return;
    }
    const material = third % 2 === 0 ? 'kms' : 'nutri-a';
    // up to 90 mg/L: doses a winemaker would give
    const micrograms = (this.ledger.volumeOf(vessel) * BigInt(1 + (amount % 9000))) / 100_000n;
    this.make({ kind: 'added', vessel, material, micrograms });
  }

  private bottle([, which, , , amount]: Chance): void {
    const from = pick(this.full(), which);
    if (from === undefined) return;
    const size = 750_000n;
    const held = this.ledger.volumeOf(from);
    const bottles = (held * BigInt(9500 + (amount % 500))) / 10_000n / size;
    if (bottles === 0n) return;
    this.lots++;
    const as = `26W-${this.lots}`;
    this.make({ kind: 'bottled', from, bottles, size, as, loss: held - bottles * size });
  }

  take(chance: Chance): void {
    const [kind] = chance;
    if (this.full().length < 3 || kind < 10) this.fill(chance);
    else if (kind < 34) this.transfer(chance);
    else if (kind < 48) this.rack(chance);
    else if (kind < 56) this.draw(chance);
    else if (kind < 64) this.blend(chance);
    else if (kind < 74) this.top(chance);
    else if (kind < 82) this.leave(chance);
    else if (kind < 89) this.dip(chance);
    else if (kind < 97) this.add(chance);
    else this.bottle(chance);
    if (chance[5] % 9 === 0) {
      this.day += 1 + (chance[4] % 5);
      this.minute = 480;
    }
  }
}

/** Seasons of about so many movements. */
export const seasons = (length: { minLength: number; maxLength: number }): fc.Arbitrary<Season> =>
  chances(length).map((all) => {
    const builder = new Builder();
    for (const chance of all) builder.take(chance);
    return { entries: builder.entries };
  });

/** The ledger of a season, or of its movements up to a day. */
export function ledgerOf(season: Season, until = Number.POSITIVE_INFINITY): Ledger {
  const ledger = new Ledger(VESSELS);
  for (const { day, movement } of season.entries) if (day <= until) ledger.apply(movement);
  return ledger;
}

// the journal

const litres = (volume: Volume): string => {
  const thousandths = volume % LITRE;
  const digits = thousandths.toString().padStart(6, '0').replace(/0+$/, '');
  return `${volume / LITRE}${digits === '' ? '' : `.${digits}`} L`;
};
const grams = (micrograms: bigint): string =>
  `${micrograms / 1_000_000n}.${(micrograms % 1_000_000n).toString().padStart(6, '0')} g`;
const blockOf = (origin: string): string => origin.split(' ')[0] ?? '';
const asPhrase = (as: string | undefined): string => (as === undefined ? '' : ` as ${as}`);
const into = ({ vessel, volume }: Into): string => `${vessel} ${litres(volume)}`;

/** The lines of a movement, and the minutes after its own that each of them takes. */
function linesOf(movement: Movement): readonly (readonly [after: number, text: string])[] {
  switch (movement.kind) {
    case 'found': {
      const origins = movement.origins.map(([origin, percent]) => `${blockOf(origin)} ${percent} %`).join(', ');
      return [[0, `found ${into(movement.into)} as ${movement.lot} of ${origins}, vintage ${VINTAGE - 1}`]];
    }
    case 'pressed': {
      const received = movement.origins.map(
        ([origin, kilograms], i) =>
          [i, `receive ${movement.lot} from ${blockOf(origin)}, net ${kilograms} kg`] as const,
      );
      const fruit = movement.origins.reduce((sum, [, kilograms]) => sum + kilograms, 0n);
      const pomace = (fruit * 1_000_000n - (movement.into.volume * 1090n) / 1000n) / 1_000_000n;
      return [...received, [2, `press ${movement.lot} to ${into(movement.into)}, pomace ${pomace} kg`]];
    }
    case 'transferred':
      return [[0, `transfer ${movement.from} to ${movement.parts.map(into).join(', ')}${asPhrase(movement.as)}`]];
    case 'racked':
      return [
        [
          0,
          `rack ${movement.from} to ${[...movement.parts.map(into), movement.last].join(', ')}${asPhrase(movement.as)}${movement.lees === 0n ? '' : `, lees ${litres(movement.lees)}`}`,
        ],
      ];
    case 'drawn':
      return [
        [
          0,
          `transfer ${movement.lot} ${litres(movement.into.volume)} to ${into(movement.into)}${asPhrase(movement.as)}`,
        ],
      ];
    case 'blended': {
      const [first, ...others] = movement.sources;
      const arrives = movement.sources.reduce((sum, { volume }) => sum + volume, 0n) - movement.loss;
      return [
        [
          0,
          `blend ${[first?.vessel ?? '', ...others.map(into)].join(', ')} to ${into({ vessel: movement.to, volume: arrives })} as ${movement.as}${movement.loss === 0n ? '' : `, loss ${litres(movement.loss)}`}`,
        ],
      ];
    }
    case 'lost':
      return [[0, `loss ${into(movement.from)} for spill`]];
    case 'dispatched':
      return [[0, `dispatch ${into(movement.from)} for bond`]];
    case 'topped':
      return [[0, `top ${movement.vessel} from ${into(movement.from)}`]];
    case 'dipped':
      return [[0, `dip ${into(movement.at)}`]];
    case 'watered':
      return [[0, `add water ${litres(movement.into.volume)} to ${movement.into.vessel}`]];
    case 'added':
      return [[0, `add ${movement.material} ${grams(movement.micrograms)} to ${movement.vessel}`]];
    case 'bottled':
      return [
        [
          0,
          `bottle ${movement.from} to ${movement.bottles} x 750 mL as "${movement.as}"${movement.loss === 0n ? '' : `, loss ${litres(movement.loss)}`}`,
        ],
      ];
    case 'sold':
      return [[0, `dispatch "${movement.lot}" ${movement.bottles} x 750 mL for sale`]];
  }
}

export const STANDING = `${[
  'vessel T1..T5 tank 1200 L',
  'vessel FB-1..FB-3 barrel 225 L',
  'vessel K1..K3 keg 50 L',
  ...BLOCKS.map((block) => `block ${block} Chardonnay`),
  'material kms is potassium metabisulfite',
  'material nutri-a nutrient, nitrogen 10 %',
].join('\n')}\n`;

const pad = (number: number): string => String(number).padStart(2, '0');

/** The journal of a season, a text for each day that has entries. */
export function dayTexts(season: Season): { readonly day: number; readonly text: string }[] {
  const days = new Map<number, string[]>();
  for (const { day, minute, movement } of season.entries) {
    let lines = days.get(day);
    if (lines === undefined) {
      lines = [dateOf(day)];
      days.set(day, lines);
    }
    for (const [after, text] of linesOf(movement)) {
      const at = minute + after;
      lines.push(`${pad(Math.floor(at / 60))}:${pad(at % 60)} ${text}`);
    }
  }
  return [...days].map(([day, lines]) => ({ day, text: `${lines.join('\n')}\n` }));
}

/** The journal in two files: the standing facts, and everything else. */
export function journalOf(season: Season, until = Number.POSITIVE_INFINITY): SourceFile[] {
  const texts = dayTexts(season).filter(({ day }) => day <= until);
  return [
    { path: 'a-cellar.cellar', text: STANDING },
    { path: 'season.cellar', text: texts.map(({ text }) => text).join('\n') },
  ];
}
