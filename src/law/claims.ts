/** What a label claims, compared with what the record has of the wine and with the rules chosen: one answer a claim. */
import { fold } from '../../grammar/words.ts';
import type { LabelSaid, Microlitres } from '../journal/events.ts';
import type { Origin, Settings } from '../journal/register.ts';
import { withoutZeros } from '../trade/decimal.ts';
import { findVariety } from '../trade/varieties.ts';
import { formatVolume } from '../trade/volume.ts';
import type { ClaimRules, RegionRules, Rule, RuleSet, ShareRule } from './rules.ts';
import { isReached, isWithin, lackOf, roomFor, sayPoints, sayShare } from './share.ts';
import type { Wine } from './wine.ts';

/**
 * `cannot tell`: the record lacks what is needed. `share only`: no rule of the set has a figure for it. `to look at`:
 * nothing that is claimed, but a rule has a word on it.
 */
export type Verdict = 'reached' | 'not reached' | 'cannot tell' | 'share only' | 'to look at';

export type ClaimKind =
  | 'variety'
  | 'vintage'
  | 'region'
  | 'block'
  | 'estate'
  | 'alcohol'
  | 'sulfites'
  | 'allergens'
  | 'total SO2'
  | 'volatile acidity';

export interface Answer {
  readonly kind: ClaimKind;
  /** `variety Syrah`, `region Lower Teal`. */
  readonly claim: string;
  readonly verdict: Verdict;
  /** It stands on the label; what stands there of itself (sulfites, limits) is told as well. */
  readonly declared: boolean;
  /** Whole sentences' worth of plain words, without a full stop. */
  readonly text: string;
  readonly rule?: Rule;
  readonly share?: { readonly part: Microlitres; readonly whole: Microlitres };
  /** The word of the label's line it is about. */
  readonly mark: string;
}

type Test = (origin: Origin) => boolean;

/** What is told instead of a grape where its line names none. */
const UNTOLD = 'not said';

/** The name a grape is compared by, whatever it is called. */
export const grape = (name: string): string => fold(findVariety(name)?.name ?? name);
/** Whether two names are the same, capitals aside. */
export const same = (a: string | undefined, b: string): boolean => a !== undefined && fold(a) === fold(b);

interface Case {
  readonly wine: Wine;
  readonly label: LabelSaid;
  readonly rules: ClaimRules | undefined;
  readonly unit: Settings['volume'];
  readonly whole: Microlitres;
}

/** The answers to every claim of a label, in the order a label is read. Pure; nothing is said of what is not claimed. */
export function judge(set: RuleSet, label: LabelSaid, wine: Wine, unit: Settings['volume']): Answer[] {
  const whole = wine.sources.reduce((sum, { volume }) => sum + volume, 0);
  const one: Case = { wine, label, rules: set.claims, unit, whole };
  return [
    ...varieties(one),
    ...vintage(one),
    ...regions(one),
    ...blocks(one),
    ...estate(one),
    ...alcohol(one),
    ...sulfites(one),
    ...allergens(one),
    ...limits(one),
  ];
}

function volumeOf({ wine }: Case, test: Test): Microlitres {
  let sum = 0;
  for (const { origin, volume } of wine.sources) if (test(origin)) sum += volume;
  return sum;
}

/** To a tenth of a litre or gallon, rounded down; less in full. */
function amount(volume: Microlitres, unit: Settings['volume']): string {
  if (unit !== 'L') return formatVolume(volume, unit, unit === 'gal' ? 1 : 3);
  const cut = volume >= 100_000 ? volume - (volume % 100_000) : volume;
  return withoutZeros(formatVolume(cut, unit));
}

interface ShareClaim {
  readonly kind: ClaimKind;
  readonly claim: string;
  readonly mark: string;
  readonly test: Test;
  /** The record does not tell of it whether it counts. */
  readonly untold: Test;
  readonly rule: ShareRule | undefined;
  /** What other wine is: `of another year`. */
  readonly other: string;
  /** What was taken for granted. */
  readonly taken?: string;
}

function shareAnswer(one: Case, claim: ShareClaim): Answer {
  const { whole, wine, unit } = one;
  const { kind, mark, rule } = claim;
  const part = volumeOf(one, claim.test);
  const head = { kind, claim: claim.claim, mark, declared: true, share: { part, whole } };
  if (whole === 0)
    return {
      ...head,
      verdict: 'cannot tell',
      text: 'the record has no wine of it',
      ...(rule === undefined ? {} : { rule }),
    };
  const about = wine.estimated ? '; volumes are estimates still' : '';
  if (rule === undefined)
    return {
      ...head,
      verdict: 'share only',
      text: `${sayShare(part, whole)}: ${amount(part, unit)} of ${amount(whole, unit)}${about}`,
    };
  const share = { part, whole, least: rule.least };
  const reached = isReached(share);
  const untold = volumeOf(one, claim.untold);
  const words = [
    `${sayShare(part, whole, rule.least)}, needs ${sayLeast(rule.least)}: ${sayPoints(share)} ${reached ? 'to spare' : 'short'}`,
    reached ? roomWords(one, claim, share) : lackWords(one, claim, share),
    untold > 0 ? `of ${sayShare(untold, whole)} the record does not tell` : '',
    claim.taken ?? '',
  ].filter((word) => word !== '');
  return { ...head, rule, verdict: reached ? 'reached' : 'not reached', text: words.join('; ') + about };
}

const sayLeast = (least: number): string => `${String(least / 10_000)} %`;

function roomWords({ wine, unit }: Case, { other }: ShareClaim, share: Parameters<typeof roomFor>[0]): string {
  const room = roomFor(share);
  if (room < 1000) return wine.open ? `any wine ${other} poured in would lose it` : '';
  return wine.open
    ? `topping with more than ${amount(room, unit)} ${other} would lose it`
    : `more than ${amount(room, unit)} ${other} with it would have lost it`;
}

function lackWords({ wine, whole, unit }: Case, { other }: ShareClaim, share: Parameters<typeof lackOf>[0]): string {
  const lack = lackOf(share);
  if (lack === undefined) return `${amount(whole - share.part, unit)} of it is ${other}`;
  return wine.open ? `${amount(lack, unit)} more of what counts would reach it` : '';
}

const pointsOff = (parts: number): string => (parts === 10_000 ? '1 point' : `${String(parts / 10_000)} points`);

// grapes

const told: Test = ({ variety }) => variety !== '' && variety !== UNTOLD;

function inRegion({ label }: Case): Test {
  return ({ region }) => label.regions.some(({ name }) => same(region, name));
}

function varieties(one: Case): Answer[] {
  const { label, rules, whole } = one;
  const [first, ...more] = label.varieties;
  if (first === undefined) return [];
  const names = label.varieties.map(({ name }) => name);
  const joined = rules?.variety.fromRegion === true && label.regions.length > 0;
  const placed: Test = joined ? inRegion(one) : () => true;
  const answers: Answer[] = [];
  const needs = rules?.variety.needsRegion;
  if (needs !== undefined && label.regions.length === 0)
    answers.push(missingRegion('variety', `variety ${first.name}`, first.name, needs));
  const isNamed: Test = (origin) => told(origin) && names.some((name) => grape(name) === grape(origin.variety));
  if (more.length === 0 || rules === undefined) {
    for (const { name } of label.varieties) {
      answers.push(
        shareAnswer(one, {
          kind: 'variety',
          claim: `variety ${name}`,
          mark: name,
          test: (origin) => told(origin) && grape(origin.variety) === grape(name) && placed(origin),
          untold: (origin) => !told(origin) || (joined && origin.region === undefined),
          rule: rules?.variety.one,
          other: joined ? 'of another grape or region' : 'of another grape',
        }),
      );
    }
    return answers;
  }
  answers.push(
    shareAnswer(one, {
      kind: 'variety',
      claim: `varieties ${names.join(', ')}`,
      mark: first.name,
      test: (origin) => isNamed(origin) && placed(origin),
      untold: (origin) => !told(origin),
      rule: rules.variety.several,
      other: joined ? 'of another grape or region' : 'of another grape',
    }),
  );
  const { shown, several, ordered } = rules.variety;
  const parts = label.varieties.map(({ name }) =>
    volumeOf(one, (origin) => told(origin) && grape(origin.variety) === grape(name)),
  );
  if (shown !== undefined) {
    for (const [i, { name, share }] of label.varieties.entries()) {
      const part = parts[i] ?? 0;
      answers.push(
        shownAnswer(one, { kind: 'variety', claim: `variety ${name}`, mark: name, part, share, shown, rule: several }),
      );
    }
  }
  if (ordered && whole > 0) {
    const falls = parts.every((part, i) => i === 0 || part <= (parts[i - 1] ?? 0));
    answers.push({
      kind: 'variety',
      claim: 'order of the varieties',
      mark: first.name,
      declared: true,
      verdict: falls ? 'reached' : 'not reached',
      text: `${label.varieties.map(({ name }, i) => `${name} ${sayShare(parts[i] ?? 0, whole)}`).join(', ')}: the largest stands first`,
      rule: several,
    });
  }
  return answers;
}

/** A share that the label itself shows, against the wine's. */
function shownAnswer(
  { whole }: Case,
  claim: {
    readonly kind: ClaimKind;
    readonly claim: string;
    readonly mark: string;
    readonly part: Microlitres;
    readonly share: number | undefined;
    readonly shown: number;
    readonly rule: Rule;
  },
): Answer {
  const { kind, mark, part, share, shown, rule } = claim;
  const head = { kind, mark, rule, declared: true, share: { part, whole } };
  if (whole === 0) return { ...head, claim: claim.claim, verdict: 'cannot tell', text: 'the record has no wine of it' };
  if (share === undefined)
    return {
      ...head,
      claim: claim.claim,
      verdict: 'not reached',
      text: `${sayShare(part, whole)} of the wine, and the label's line shows no share of it`,
    };
  return {
    ...head,
    claim: `${claim.claim} ${sayLeast(share)}`,
    verdict: isWithin(part, whole, share, shown) ? 'reached' : 'not reached',
    text: `${sayShare(part, whole)} of the wine, ${sayLeast(share)} on the label, which may be off by ${pointsOff(shown)}`,
  };
}

const missingRegion = (kind: ClaimKind, claim: string, mark: string, rule: Rule): Answer => ({
  kind,
  claim: `${claim} without a region`,
  mark,
  rule,
  declared: true,
  verdict: 'not reached',
  text: 'it asks for a region on the label as well',
});

// year and place

/** What the first region of the label is taken for: its own word, or the narrowest of the law, and that is said. */
function regionRules({ label, rules }: Case): { rules: RegionRules; taken: string } | undefined {
  const [region] = label.regions;
  if (rules === undefined || region === undefined) return undefined;
  const [narrowest] = rules.regions;
  const own = rules.regions.find(({ kind }) => kind === region.kind);
  return own === undefined
    ? { rules: narrowest, taken: `${region.name} is taken for ${narrowest.say}, since its line does not say` }
    : { rules: own, taken: '' };
}

function vintage(one: Case): Answer[] {
  const { label, rules } = one;
  const { vintage: year } = label;
  if (year === undefined) return [];
  const region = regionRules(one);
  const answers: Answer[] = [];
  if (rules?.vintageNeedsRegion !== undefined && region === undefined)
    answers.push(missingRegion('vintage', `vintage ${year}`, String(year), rules.vintageNeedsRegion));
  answers.push(
    shareAnswer(one, {
      kind: 'vintage',
      claim: `vintage ${year}`,
      mark: String(year),
      test: (origin) => origin.vintage === year,
      untold: (origin) => origin.vintage === undefined,
      rule: region?.rules.vintage ?? rules?.vintage,
      other: 'of another vintage',
      ...(region === undefined || region.taken === '' ? {} : { taken: region.taken }),
    }),
  );
  return answers;
}

function regions(one: Case): Answer[] {
  const { label, rules } = one;
  const [first, ...more] = label.regions;
  const found = regionRules(one);
  if (first === undefined) return [];
  const names = label.regions.map(({ name }) => name);
  const claim = {
    kind: 'region',
    claim: `${more.length === 0 ? 'region' : 'regions'} ${names.join(', ')}`,
    mark: first.name,
    test: inRegion(one),
    untold: (origin: Origin) => origin.region === undefined,
    other: 'from elsewhere',
    ...(found === undefined || found.taken === '' ? {} : { taken: found.taken }),
  } as const;
  if (more.length === 0 || rules === undefined || found === undefined)
    return [shareAnswer(one, { ...claim, rule: found?.rules.one })];
  const { several } = found.rules;
  if (several === undefined) {
    const shown = shareAnswer(one, { ...claim, rule: undefined });
    return [
      {
        ...shown,
        verdict: 'cannot tell',
        text: `${shown.text}; for several regions of this kind the set has no rule it could compare with`,
      },
    ];
  }
  const answers = [shareAnswer(one, { ...claim, rule: several })];
  if (rules.regionShown !== undefined) {
    for (const { name, share } of label.regions)
      answers.push(
        shownAnswer(one, {
          kind: 'region',
          claim: `region ${name}`,
          mark: name,
          part: volumeOf(one, (origin) => same(origin.region, name)),
          share,
          shown: rules.regionShown,
          rule: several,
        }),
      );
  }
  return answers;
}

function blocks(one: Case): Answer[] {
  const { label, rules } = one;
  const [first, ...more] = label.blocks;
  if (first === undefined) return [];
  return [
    shareAnswer(one, {
      kind: 'block',
      claim: `${more.length === 0 ? 'block' : 'blocks'} ${label.blocks.join(', ')}`,
      mark: first,
      test: ({ block }) => label.blocks.some((name) => same(block, name)),
      untold: ({ block }) => block === undefined,
      rule: rules?.block,
      other: 'of another block',
    }),
  ];
}

function estate(one: Case): Answer[] {
  const { label, rules, wine } = one;
  if (!label.estate) return [];
  const placed = label.regions.length > 0 && rules?.estate !== undefined;
  const isPlaced = inRegion(one);
  const answer = shareAnswer(one, {
    kind: 'estate',
    claim: 'estate',
    mark: 'estate',
    test: (origin) => origin.estate && (!placed || isPlaced(origin)),
    untold: ({ block, grower }) => block === undefined && grower === undefined,
    rule: rules?.estate,
    other: placed ? 'not of the estate and the region' : 'not of the estate',
  });
  if (rules?.estate === undefined || answer.verdict !== 'reached') return [answer];
  if (label.regions.length === 0)
    return [{ ...answer, verdict: 'not reached', text: 'it asks for a viticultural area on the label as well' }];
  if (wine.broughtIn.length === 0) return [answer];
  return [
    {
      ...answer,
      verdict: 'cannot tell',
      text: `${answer.text}; ${wine.broughtIn.join(', ')} in its family came in from elsewhere, and nothing may ever have left the premises`,
    },
  ];
}

// figures

const PER_CENT = 10_000;

const sayPercent = (parts: number): string => `${String(parts / PER_CENT)} %`;

function alcohol({ label, rules, wine }: Case): Answer[] {
  const { alcohol: label_ } = label;
  if (label_ === undefined) return [];
  const head = { kind: 'alcohol', claim: `alcohol ${sayPercent(label_)}`, mark: 'alcohol', declared: true } as const;
  const read = wine.figures.alcohol;
  const answers: Answer[] = [];
  const step = rules?.alcohol.step;
  if (step !== undefined && label_ % step.of !== 0)
    answers.push({ ...head, verdict: 'not reached', text: 'it is stated in whole or half units', rule: step.rule });
  if (read === undefined)
    return [...answers, { ...head, verdict: 'cannot tell', text: 'the record has no reading of its alcohol' }];
  const has = Math.round(read.value * PER_CENT);
  const off = Math.abs(has - label_);
  const apart = `read as ${sayPercent(has)}, ${off === 0 ? 'as the label says' : `${pointsOff(off)} apart`}`;
  const row = rules?.alcohol.tolerances.find(({ upTo }) => has <= upTo);
  if (rules === undefined || row === undefined) return [...answers, { ...head, verdict: 'share only', text: apart }];
  const left = row.off - off;
  answers.push({
    ...head,
    verdict: left >= 0 ? 'reached' : 'not reached',
    text: `${apart}, ${pointsOff(row.off)} allowed: ${left < 0 ? `${pointsOff(-left)} too far` : left === 0 ? 'nothing to spare' : `${pointsOff(left)} to spare`}`,
    rule: row.rule,
  });
  for (const { at, rule } of rules.alcohol.boundaries)
    if (label_ <= at !== has <= at)
      answers.push({
        ...head,
        verdict: 'not reached',
        text: `read as ${sayPercent(has)}: the label is on the other side of ${sayPercent(at)}`,
        rule,
      });
  return answers;
}

function sulfites({ label, rules, wine }: Case): Answer[] {
  if (rules === undefined) return [];
  const { from, above, rule } = rules.sulfites;
  const declares = label.holds.includes('sulfites');
  const read = wine.figures['total SO2'];
  const head = { kind: 'sulfites', claim: 'sulfites', mark: 'sulfites', rule } as const;
  if (declares) return [{ ...head, declared: true, verdict: 'reached', text: 'declared' }];
  const asks = read === undefined ? undefined : above ? read.value > from : read.value >= from;
  if (asks === undefined)
    return [
      {
        ...head,
        declared: false,
        verdict: 'cannot tell',
        text: `not declared; the record has no reading of the total${wine.allergens.includes('sulfites') ? ', and sulfites were added' : ''}`,
      },
    ];
  return [
    {
      ...head,
      declared: false,
      verdict: asks ? 'to look at' : 'reached',
      text: `the label's line does not declare them; total SO2 ${read?.said ?? ''} was read, and they are declared ${above ? 'above' : 'from'} ${from} mg/L`,
    },
  ];
}

function allergens({ label, rules, wine }: Case): Answer[] {
  if (rules === undefined) return [];
  const { list, all, rule } = rules.allergens;
  const used = wine.allergens.filter((one) => list.includes(one));
  const declared = label.holds.filter((one) => list.includes(one));
  const missing = used.filter((one) => !declared.some((other) => other === one));
  if (used.length === 0 && declared.length === 0) return [];
  const head = {
    kind: 'allergens',
    claim: 'allergens',
    mark: declared[0] ?? 'label',
    rule,
    declared: declared.length > 0,
  } as const;
  if (missing.length === 0) return [{ ...head, verdict: 'reached', text: `declared: ${declared.join(', ')}` }];
  const went = `${missing.join(', ')} went into it and ${missing.length === 1 ? 'is' : 'are'} not declared`;
  if (!all)
    return [
      { ...head, declared: false, verdict: 'to look at', text: `${went}: it is asked for where it can still be found` },
    ];
  return declared.length > 0
    ? [
        {
          ...head,
          verdict: 'not reached',
          text: `${went}, though ${declared.join(', ')} ${declared.length === 1 ? 'is' : 'are'}`,
        },
      ]
    : [{ ...head, verdict: 'to look at', text: `${went}; to declare is free, but then all of them` }];
}

/** Total sulfur dioxide and volatile acidity as last read; the sweeter a wine, the more it may have by some laws. */
function limits({ rules, wine }: Case): Answer[] {
  if (rules === undefined) return [];
  const colour = wine.colour ?? 'white';
  const answers: Answer[] = [];
  const total = wine.figures['total SO2'];
  if (total !== undefined) {
    const sugar = Math.min(500, wine.figures['residual sugar']?.value ?? 0);
    const { milligramsPerLitre, rule } = rules.totalSulfurDioxide(colour, sugar);
    answers.push(limitAnswer('total SO2', total, milligramsPerLitre, rule));
  }
  const acid = wine.figures.VA;
  if (acid !== undefined) {
    const { gramsPerLitre, rule } = rules.volatileAcidity(colour);
    answers.push(limitAnswer('volatile acidity', acid, gramsPerLitre, rule));
  }
  return answers;
}

const limitAnswer = (
  kind: 'total SO2' | 'volatile acidity',
  read: { readonly value: number; readonly said: string },
  most: number,
  rule: Rule,
): Answer => ({
  kind,
  claim: kind,
  mark: 'label',
  declared: false,
  verdict: read.value <= most ? 'reached' : 'to look at',
  text: `${read.said} was read; ${rule.figure}`,
  rule,
});
