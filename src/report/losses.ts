/** Every loss of a lot: when, by what and how much, with its line. */
import type { Happening, LossKind, LotRecord } from '../cellar/book.ts';
import type { LotId, Microlitres } from '../journal/events.ts';
import type { ReportContext } from './context.ts';
import { vesselNames } from './context.ts';
import { dayOf, dayText, isoDay, timeText } from './dates.ts';
import { exactVolumeText } from './figures.ts';
import { counted, nameList } from './names.ts';
import { cell, figures, type Sheet } from './sheet.ts';
import { LOSSES } from './volumes.ts';

interface Loss {
  readonly what: string;
  readonly volume: Microlitres;
  readonly vessels: readonly number[];
}

/** Losses told one by one; of a wine long in barrel the earliest are summed. */
const MOST_ROWS = 60;

/** `undefined` where nothing was ever lost of it. */
export function lossesOf(context: ReportContext, lot: LotRecord, happenings: readonly Happening[]): Sheet | undefined {
  const rows = happenings.flatMap((happening) =>
    lossesIn(happening, lot.facts.id).map((loss) => ({ ...loss, event: happening.event })),
  );
  if (rows.length === 0) return undefined;
  const shown = rows.slice(-MOST_ROWS);
  const earlier = rows.slice(0, rows.length - shown.length);
  const sum = (of: readonly Loss[]): Microlitres => of.reduce((total, { volume }) => total + volume, 0);
  const text = (volume: Microlitres): string => exactVolumeText(volume, context.settings);
  return {
    label: 'Losses',
    caption:
      earlier.length === 0
        ? 'Every loss, the oldest first'
        : `The last ${shown.length} losses; ${counted(earlier.length, 'earlier one')} took ${text(sum(earlier))}`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'What' },
      { name: 'Volume', kind: 'number' },
      { name: 'From', kind: 'words' },
      { name: 'Line', kind: 'line' },
    ],
    rows: shown.map(({ what, volume, vessels, event }) => ({
      cells: [
        {
          figures: [{ text: dayText(dayOf(event.minute)) }],
          iso: isoDay(dayOf(event.minute)),
          quiet: timeText(event.minute),
        },
        cell(what),
        cell(text(volume)),
        cell(nameList(vesselNames(context, vessels), 4)),
        figures([context.links.line(event.place)]),
      ],
    })),
    foot: { cells: [cell('in all'), cell(''), cell(text(sum(rows))), cell(''), cell('')] },
    sort: true,
  };
}

const isLossKind = (how: string): how is LossKind => how in LOSSES;

/** What one entry lost of a lot, a kind a row: a topping of twelve barrels lost once, not twelve times. */
function lossesIn({ movements }: Happening, lot: LotId): Loss[] {
  const kinds = new Map<string, { volume: Microlitres; vessels: number[] }>();
  for (const movement of movements) {
    if (movement.kind === 'in' || movement.kind === 'across' || movement.kind === 'renamed') continue;
    if (movement.lot !== lot || (movement.kind === 'bottles' && movement.direction === 'in')) continue;
    const { how } = movement;
    const what = isLossKind(how)
      ? LOSSES[how]
      : how === 'dip'
        ? 'lost at dips'
        : how === 'sample'
          ? 'samples'
          : undefined;
    if (what === undefined) continue;
    const known = kinds.get(what) ?? { volume: 0, vessels: [] };
    known.volume += movement.volume;
    if (movement.kind === 'out') known.vessels.push(movement.vessel);
    kinds.set(what, known);
  }
  return [...kinds].map(([what, { volume, vessels }]) => ({ what, volume, vessels }));
}
