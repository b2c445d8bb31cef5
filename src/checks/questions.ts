/** Every `?` of the journal: answered from the record where it can be, else told what is missing. */
import { ANALYTE_WORDS } from '../../grammar/analytes.ts';
import { nearest } from '../../grammar/suggest.ts';
import { findUnit } from '../../grammar/units.ts';
import type { Deed } from '../cellar/deed.ts';
import { nameList } from '../cellar/tell.ts';
import type { Add, Addition, LotId, Minute, VesselId } from '../journal/events.ts';
import type { MaterialFacts } from '../journal/register.ts';
import { inUnit } from '../trade/convert.ts';
import { isRefused } from '../trade/worked.ts';
import { type Answered, answer, type Known, rounded } from './answers.ts';
import { remembering } from './check.ts';

/** What an answer may rest on; all else is not kept. */
const KEPT: ReadonlySet<string> = new Set(['pH', 'free SO2', 'total SO2', 'alcohol', 'TA', 'YAN', 'copper']);

interface Seen {
  readonly value: number;
  readonly minute: Minute;
}

/** Vessels answered one by one up to here; beyond, their sum is told. */
const MOST_TOLD = 8;

/** An amount in the unit the question names, where it fits; else as it was worked out. */
function inWantedUnit(amount: number, unit: Answered['unit'], wanted: string | undefined): string {
  const from = findUnit(unit);
  const to = wanted === undefined ? undefined : findUnit(wanted);
  if (from === undefined || to === undefined || from.dimension !== to.dimension) return `${amount} ${unit}`;
  return `${Number(inUnit(amount, from, to).toPrecision(3))} ${to.symbol}`;
}

/** A word of the purpose that is nearly one of what is measured. */
function meant(purpose: string | undefined): string | undefined {
  for (const word of purpose?.split(' ') ?? []) {
    const near = /^\p{L}{4,}$/u.test(word) ? nearest(word, ANALYTE_WORDS) : undefined;
    if (near !== undefined) return `did you mean \`${near}\`?`;
  }
  return undefined;
}

interface Memory {
  /** By vessel while it holds the lot, and by lot for vessels nobody read. */
  readonly byVessel: Map<VesselId, { lot: LotId; figures: Map<string, Seen> }>;
  readonly byLot: Map<LotId, Map<string, Seen>>;
  readonly lastAdded: Map<LotId, Minute>;
}

const fresh = (): Memory => ({ byVessel: new Map(), byLot: new Map(), lastAdded: new Map() });

export const questions = remembering(fresh, (cellar, { byVessel, byLot, lastAdded }) => {
  function keep(deed: Deed): void {
    const { event } = deed;
    if (event.kind !== 'reading') return;
    for (const measure of event.measures) {
      if (!KEPT.has(measure.analyte) || measure.mark === '<' || measure.mark === '>') continue;
      const seen = { value: measure.value, minute: event.sampled ?? event.minute };
      for (const id of deed.touchedVessels) {
        const { lot } = cellar.vessel(id);
        let held = byVessel.get(id);
        if (held === undefined || held.lot !== lot) {
          held = { lot, figures: new Map() };
          byVessel.set(id, held);
        }
        held.figures.set(measure.analyte, seen);
        keepOfLot(lot, measure.analyte, seen);
      }
      // a lot that is still fruit lies in no vessel
      for (const lot of deed.touchedLots) keepOfLot(lot, measure.analyte, seen);
    }
  }

  function keepOfLot(lot: LotId, analyte: string, seen: Seen): void {
    const figures = byLot.get(lot);
    if (figures === undefined) byLot.set(lot, new Map([[analyte, seen]]));
    else figures.set(analyte, seen);
  }

  function known(id: VesselId, analyte: string): Known | undefined {
    const { lot } = cellar.vessel(id);
    const held = byVessel.get(id);
    const seen = (held?.lot === lot ? held.figures.get(analyte) : undefined) ?? byLot.get(lot)?.get(analyte);
    return seen === undefined
      ? undefined
      : { value: seen.value, day: Math.floor(seen.minute / 1440), stale: (lastAdded.get(lot) ?? 0) > seen.minute };
  }

  function open(deed: Deed, facts: MaterialFacts, why: string, help: string): void {
    deed.say({
      code: 'question-open',
      message: `how much ${facts.name} is asked: ${why}; nothing is counted`,
      help,
      mark: '?',
      vessels: [],
    });
  }

  function reply(deed: Deed, event: Add, { dose }: Addition, facts: MaterialFacts): void {
    const { aim } = event;
    if (aim === undefined) {
      open(
        deed,
        facts,
        'the line does not say for what',
        meant(event.purpose) ?? 'say what it is to reach: `for 0.6 mg/L molecular`, `for TA 6.5 g/L`',
      );
      return;
    }
    const answers: { name: string; answered: Answered }[] = [];
    for (const id of deed.vesselsOf(event.targets, deed.vesselsOf(event.except))) {
      const state = cellar.vessel(id);
      if (state.content.volume === 0) continue;
      const answered = answer({
        material: facts,
        aim,
        litres: state.content.volume / 1e6,
        known: (analyte) => known(id, analyte),
        settings: cellar.register.settings,
      });
      if (isRefused(answered)) {
        open(deed, facts, `${state.facts.name}: ${answered.refused}`, 'write the amount, or what the answer lacks');
        return;
      }
      answers.push({ name: state.facts.name, answered });
    }
    const [first] = answers;
    if (first === undefined) return;
    const { unit } = first.answered;
    const amounts = answers.map(({ answered }) => rounded(answered));
    const sum = Number(amounts.reduce((all, one) => all + one, 0).toFixed(2));
    const say = (amount: number): string => inWantedUnit(amount, unit, dose.kind === 'asked' ? dose.unit : undefined);
    const each = answers.map(({ name }, i) => `${name} ${say(amounts[i] ?? 0)}`);
    const told =
      answers.length === 1
        ? `${say(sum)} for ${first.name}`
        : `${say(sum)} in all${answers.length <= MOST_TOLD ? `: ${nameList(each)}` : ''}`;
    const names = answers.map(({ name }) => name);
    const target = names.length <= MOST_TOLD ? names.join(', ') : `${names.slice(0, MOST_TOLD).join(', ')}, ...`;
    deed.say({
      code: 'question-answered',
      message: `${facts.name}: ${told}; ${first.answered.why}`,
      help: `check the figures, weigh, and write what went in: \`add ${facts.name} ${unit === 'pieces' ? sum : say(sum)} to ${target}\`${facts.caution === undefined ? '' : `. ${facts.caution}`}`,
      mark: dose.kind === 'asked' ? '?' : facts.name,
      ...(answers.length === 1 && dose.kind === 'asked'
        ? {
            instead:
              unit === 'pieces' ? String(sum) : dose.unit === undefined ? say(sum) : (say(sum).split(' ')[0] ?? ''),
          }
        : {}),
      vessels: [],
    });
  }

  return {
    after(deed) {
      const { event } = deed;
      if (event.kind === 'reading') keep(deed);
      if (event.kind !== 'add') return;
      for (const addition of event.additions) {
        const facts = cellar.register.materials[addition.material];
        if (addition.dose.kind === 'asked' && facts !== undefined) reply(deed, event, addition, facts);
      }
      if (deed.added.length > 0) for (const id of deed.touchedLots) lastAdded.set(id, event.minute);
    },
  };
});
