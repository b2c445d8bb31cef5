/** Vessels that share one slip are told of in one finding. */
import type { VesselId } from '../journal/events.ts';
import type { Complaint, Deed } from './deed.ts';
import { nameList } from './tell.ts';

/** Says one complaint of several vessels; those in doubt apart, as another line is their cause. */
export function sayTogether(
  deed: Deed,
  ids: readonly VesselId[],
  complaint: (names: string, many: boolean) => Pick<Complaint, 'code' | 'message' | 'help'>,
): void {
  const groups = new Map<unknown, VesselId[]>();
  for (const id of ids) {
    const { doubt } = deed.cellar.vessel(id);
    const group = groups.get(doubt);
    if (group === undefined) groups.set(doubt, [id]);
    else group.push(id);
  }
  for (const group of groups.values()) {
    const [first] = group;
    if (first === undefined) continue;
    const { emptied } = deed.cellar.vessel(first);
    const only = group.length === 1 && emptied !== undefined && deed.cellar.vessel(first).content.volume === 0;
    deed.say({
      ...complaint(nameList(group.map((id) => deed.vesselName(id))), group.length > 1),
      mark: deed.vesselName(first),
      vessels: group,
      ...(only ? { related: { place: emptied, message: 'it was emptied here' } } : {}),
    });
  }
}
