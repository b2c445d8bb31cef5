/** What a wine is made of: block, variety, vintage and region told together, because claims need them together. */
import type { LotRecord } from '../cellar/book.ts';
import type { CompositionBar } from './charted.ts';
import type { ReportContext } from './context.ts';
import { shareText, volumeText } from './figures.ts';

export interface CompositionRow {
  readonly letter: string;
  readonly block: string;
  readonly variety: string;
  readonly vintage: string;
  readonly region: string;
  readonly grower: string;
  readonly share: string;
  readonly volume: string;
}

export interface CompositionModel {
  readonly bar: CompositionBar;
  readonly rows: readonly CompositionRow[];
  /** Free run and press run, where both are in it. */
  readonly runs: readonly { readonly name: string; readonly share: string; readonly volume: string }[];
  /** Whether it tells of a wine that is gone. */
  readonly past: boolean;
}

/** Sources drawn apart; the rest of a long list are drawn together, and told apart in the table. */
const MOST_PARTS = 12;

export function compositionOf(context: ReportContext, lot: LotRecord): CompositionModel | undefined {
  const sources = new Map<string, { facts: Omit<CompositionRow, 'letter' | 'share' | 'volume'>; volume: number }>();
  const runs = new Map<string, number>();
  let whole = 0;
  for (const { origin, volume } of lot.composition) {
    const facts = context.book.origins[origin];
    if (facts === undefined || volume <= 0) continue;
    whole += volume;
    const told = {
      block: facts.block ?? '',
      variety: facts.variety,
      vintage: facts.vintage === undefined ? '' : String(facts.vintage),
      region: facts.region ?? '',
      grower: facts.estate ? 'estate' : (facts.grower ?? ''),
    };
    const key = JSON.stringify(told);
    const source = sources.get(key);
    if (source === undefined) sources.set(key, { facts: told, volume });
    else source.volume += volume;
    const run = facts.run === undefined ? 'run not told' : facts.run === 'free' ? 'free run' : 'press run';
    runs.set(run, (runs.get(run) ?? 0) + volume);
  }
  if (whole <= 0) return undefined;
  const sorted = [...sources]
    .sort(([a, x], [b, y]) => y.volume - x.volume || (a < b ? -1 : 1))
    .map(([, source]) => source);
  const rows = sorted.map(({ facts, volume }, index) => ({
    ...facts,
    letter: letterOf(index),
    share: shareText(volume, whole),
    volume: volumeText(volume, context.settings, lot.estimated),
  }));
  const parts = sorted.slice(0, MOST_PARTS).map(({ facts, volume }, index) => ({
    letter: letterOf(index),
    label: [facts.variety, facts.block].filter((word) => word !== '').join(' '),
    share: volume / whole,
    text: shareText(volume, whole),
  }));
  const rest = sorted.slice(MOST_PARTS).reduce((sum, { volume }) => sum + volume, 0);
  if (rest > 0) parts.push({ letter: '…', label: 'all others', share: rest / whole, text: shareText(rest, whole) });
  return {
    bar: { title: `What ${lot.facts.name} is made of`, parts },
    rows,
    runs:
      runs.size < 2
        ? []
        : [...runs].map(([name, volume]) => ({
            name,
            share: shareText(volume, whole),
            volume: volumeText(volume, context.settings, lot.estimated),
          })),
    past: lot.onHand === 0,
  };
}

/** A, B … Z, A2, B2 … */
function letterOf(index: number): string {
  const letter = String.fromCharCode(65 + (index % 26));
  return index < 26 ? letter : `${letter}${Math.floor(index / 26) + 1}`;
}
