/** Labels against the wine they stand for: claims the record does not bear out, and claims that wine poured in takes away. */
import type { Deed } from '../cellar/deed.ts';
import type { LabelSaid, LotId, Place } from '../journal/events.ts';
import { type Answer, judge } from '../law/claims.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import { type Figures, keepFigures, type OriginVolume, originsNow, wineNow } from '../law/wine.ts';
import { remembering } from './check.ts';

const DECIDES = 'the text in force and its authority decide';

interface Kept {
  readonly said: LabelSaid;
  readonly place: Place;
  /** Claims of shares that the wine bore out when last looked at. */
  readonly held: string[];
}

interface Memory {
  readonly figures: Map<LotId, Figures>;
  readonly labels: Map<LotId, Kept>;
  /** What bottlings were filled with: what is drawn from bottles later says nothing of their label. */
  readonly filled: Map<LotId, OriginVolume[]>;
}

const fresh = (): Memory => ({ figures: new Map(), labels: new Map(), filled: new Map() });

/** Claims that wine poured in can take away. */
const OF_SHARES: ReadonlySet<Answer['kind']> = new Set<Answer['kind']>([
  'variety',
  'vintage',
  'region',
  'block',
  'estate',
]);

export const claims = remembering(fresh, (cellar, { figures, labels, filled }) => {
  const { register } = cellar;

  function answersFor(lot: LotId, said: LabelSaid): readonly Answer[] {
    const { law, volume } = register.settings;
    const parts = filled.get(lot) ?? originsNow(cellar, cellar.lot(lot));
    return judge(RULE_SETS[law], said, wineNow(cellar, lot, parts, figures.get(lot) ?? {}), volume);
  }

  const ruleWords = ({ rule }: Answer): string => (rule === undefined ? '' : ` (${rule.section})`);

  function declared(deed: Deed, said: LabelSaid): void {
    const { lot } = said;
    const answers = answersFor(lot, said).filter((answer) => answer.declared);
    const name = cellar.nameOfLot(lot);
    for (const answer of answers)
      if (answer.verdict === 'not reached')
        deed.say({
          code: 'claim-not-met',
          message: `${name}, ${answer.claim}: ${answer.text}${ruleWords(answer)}`,
          help: `mend the label, or the line where what it came from is told wrongly; ${DECIDES}; \`sic\` answers it`,
          mark: answer.mark,
          vessels: [...cellar.lot(lot).vessels],
          lots: [lot],
        });
    labels.set(lot, {
      said,
      place: deed.event.place,
      held: answers
        .filter(({ verdict, kind }) => verdict === 'reached' && OF_SHARES.has(kind))
        .map(({ claim }) => claim),
    });
  }

  /** Lots with a label that wine of another lot, or from outside, came into. */
  function cameInto(deed: Deed): Set<LotId> {
    const lots = new Set<LotId>();
    for (const movement of deed.movements) {
      if (movement.kind === 'across') {
        if (movement.fromLot !== movement.toLot) lots.add(movement.toLot);
      } else if (movement.kind === 'renamed') lots.add(movement.toLot);
      else if (movement.kind === 'in') lots.add(movement.lot);
      else if (movement.kind === 'bottles' && movement.direction === 'in') lots.add(movement.lot);
    }
    return lots;
  }

  function lost(deed: Deed, lot: LotId, kept: Kept): void {
    const answers = answersFor(lot, kept.said).filter(({ kind }) => OF_SHARES.has(kind));
    const name = cellar.nameOfLot(lot);
    const held: string[] = [];
    for (const answer of answers) {
      if (answer.verdict === 'reached') held.push(answer.claim);
      else if (answer.verdict === 'not reached' && kept.held.includes(answer.claim))
        deed.say({
          code: 'claim-lost',
          message: `${name} no longer has ${answer.claim}: ${answer.text}${ruleWords(answer)}`,
          help: `take other wine for it, or change what the label declares; ${DECIDES}; \`sic\` answers it`,
          mark: deed.event.verb,
          related: { place: kept.place, message: 'it was declared here' },
          vessels: [...cellar.lot(lot).vessels],
          lots: [lot],
        });
    }
    labels.set(lot, { ...kept, held });
  }

  return {
    after(deed) {
      const { event } = deed;
      if (register.settings.law === 'none' && event.kind !== 'kept') return;
      keepFigures(figures, event, deed.touchedLots, deed.movements);
      if ((event.kind === 'bottle' || event.kind === 'found') && cellar.lot(event.as).facts.bottling)
        filled.set(event.as, originsNow(cellar, cellar.lot(event.as)));
      if (event.kind === 'kept') {
        if (event.label !== undefined) declared(deed, event.label);
        return;
      }
      if (labels.size === 0) return;
      for (const lot of cameInto(deed)) {
        const kept = labels.get(lot);
        if (kept !== undefined) lost(deed, lot, kept);
      }
    },
  };
});
