/** Work due in several vessels of one lot on one day, by one line of a plan: one piece of work for people. */
import type { VesselId } from '../journal/events.ts';
import type { DueItem } from './due-work.ts';

export interface DueGroup {
  /** The first of them; all agree in all but the vessel and when it was last done. */
  readonly item: DueItem;
  readonly vessels: readonly VesselId[];
  /** When it was last done in the vessel that waits longest; absent where one of them has it not done. */
  readonly last: number | undefined;
}

/** Items put together, in the order in which they come. */
export function groupsOf(items: readonly DueItem[]): DueGroup[] {
  const groups = new Map<string, DueItem[]>();
  for (const item of items) {
    const { file, line } = item.row.place;
    const key = [item.status, item.due, file, line, item.lot, item.what, item.left ?? ''].join(' ');
    const known = groups.get(key);
    if (known === undefined) groups.set(key, [item]);
    else known.push(item);
  }
  return [...groups.values()].flatMap((group) => {
    const [item] = group;
    if (item === undefined) return [];
    const lasts = group.map(({ last }) => last);
    return [
      {
        item,
        vessels: group.map(({ vessel }) => vessel),
        last: lasts.every((last) => last !== undefined) ? Math.min(...lasts) : undefined,
      },
    ];
  });
}
