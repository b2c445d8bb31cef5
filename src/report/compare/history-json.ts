/** A lot through the commits of its journal, as plain data for other programs; `history.schema.json` describes it. */
import { formatDate } from '../../../grammar/dates.ts';
import { changeJson, commitJson, daysJson } from './comparison-json.ts';
import type { LotSeen, LotStep } from './lot-history.ts';

const seenJson = (seen: LotSeen | undefined) =>
  seen === undefined
    ? null
    : {
        name: seen.name,
        stage: seen.stage,
        litres: seen.volume / 1e6,
        estimated: seen.estimated,
        on: formatDate(seen.on),
      };

/** Steps from the oldest to the newest. */
export function historyJson(lot: string, steps: readonly LotStep[], unseen: readonly string[]) {
  return {
    format: 'ullage-history',
    version: 1,
    lot,
    unseen,
    steps: steps.map(({ commit, unseen: hidden, before, after, changes, days }) => ({
      commit: commit === undefined ? null : commitJson(commit),
      unseen: hidden,
      before: seenJson(before),
      after: seenJson(after),
      changes: changes.map(changeJson),
      days: daysJson(days),
    })),
  };
}
