/** The chemistry of a lot and the forecasts of ferments as plain data, for the export. */
import { formatDate } from '../../grammar/dates.ts';
import type { LotRecord } from '../cellar/book.ts';
import type { Minute, Place } from '../journal/events.ts';
import { type ActiveFerment, activeFerments, dryAt } from './active-ferments.ts';
import { happeningsOf, type ReportContext } from './context.ts';
import { clock, dayOf } from './dates.ts';
import { malolacticOf } from './malolactic.ts';
import { strengthOf } from './strength.ts';
import { sulfurOf } from './sulfur.ts';
import { sulfurHad } from './sulfur-had.ts';

/** Figures that were worked out: more decimals than this mean nothing. */
const rounded = (value: number): number => Number(value.toFixed(4));

const at = (minute: Minute): string => `${formatDate(dayOf(minute))}T${clock(minute)}`;

const sourceOf = ({ book }: ReportContext, { file, line }: Place) => ({ file: book.files[file]?.path ?? '', line });

export function chemistryJson(context: ReportContext, lot: LotRecord) {
  const happenings = happeningsOf(context, lot.happenings);
  const strength = strengthOf(context, happenings);
  const newest = sulfurOf(context, lot.facts.name, happenings)?.newest;
  const malolactic = malolacticOf(context, lot.facts.name, happenings);
  const had = sulfurHad(context, lot);
  return {
    alcohol:
      strength === undefined
        ? null
        : {
            percentVolume: rounded(strength.percentVolume),
            measured: strength.measured,
            basis: strength.from,
            at: at(strength.minute),
            source: sourceOf(context, strength.place),
          },
    molecularSulfurDioxide:
      newest === undefined
        ? null
        : {
            milligramsPerLitre: rounded(newest.molecular),
            method: newest.method,
            at: at(newest.minute),
            freeMilligramsPerLitre: newest.free,
            pH: { value: newest.pH.value, at: at(newest.pH.minute) },
            alcohol:
              newest.alcohol === undefined ? null : { value: newest.alcohol.value, at: at(newest.alcohol.minute) },
            source: sourceOf(context, newest.place),
          },
    sulfurDioxideHadMilligramsPerLitre: had === undefined ? null : rounded(had.perLitre),
    malolactic:
      malolactic === undefined
        ? null
        : {
            state: malolactic.stage,
            malicGramsPerLitre: malolactic.newest.value,
            mark: malolactic.newest.mark,
            at: at(malolactic.newest.minute),
            source: sourceOf(context, malolactic.newest.place),
          },
  };
}

/** Every vessel whose wine ferments or is about to, in the order of the vessels. */
export function fermentsJson(context: ReportContext) {
  return [...activeFerments(context)]
    .sort((a, b) => a.vessel.facts.id - b.vessel.facts.id)
    .map((ferment) => fermentJson(context, ferment));
}

function fermentJson(context: ReportContext, ferment: ActiveFerment) {
  const { vessel, lot, scale, sugar, pace, forecast, rate } = ferment;
  const newest = sugar.at(-1);
  const dry = dryAt(ferment);
  const dryBetween = forecast?.dryBetween;
  return {
    vessel: vessel.facts.name,
    lot: lot.facts.name,
    scale,
    newest:
      newest === undefined
        ? null
        : { value: rounded(newest.value), at: at(newest.minute), source: sourceOf(context, newest.place) },
    state: pace?.state ?? null,
    why: pace?.why ?? null,
    fallPerDay: rate === undefined ? null : rounded(rate.perDay),
    standardError: rate === undefined ? null : rounded(rate.standardError),
    dry:
      dry === undefined || dryBetween === undefined
        ? null
        : {
            at: at(dry),
            earliest: at(dryBetween.earliest),
            latest: dryBetween.latest === undefined ? null : at(dryBetween.latest),
          },
    refused:
      dry !== undefined
        ? null
        : forecast?.dryAt === undefined && forecast !== undefined
          ? forecast.dry
          : refusal(pace?.state),
  };
}

/** Why nothing is foretold of a ferment at all. */
function refusal(state: string | undefined): string {
  if (state === undefined) return 'its sugar was never read';
  if (state === 'stuck') return 'it stands still';
  return state === 'finished' ? 'it reads dry' : 'it is near dry, or was not read for days';
}
