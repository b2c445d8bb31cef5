/** Claims and trails as plain data for other programs. */
import { formatDate } from '../../grammar/dates.ts';
import type { Book, LotRecord } from '../cellar/book.ts';
import type { Place } from '../journal/events.ts';
import type { Answer } from '../law/claims.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import { answersOf, labelsOf } from './claims.ts';
import { timestamp } from './export.ts';
import { sumsBy, tellOf, trailOf } from './trail.ts';

/** Volumes are whole microlitres, masses whole micrograms, times minutes: nothing is rounded. */
export function claimsJson(book: Book, lots: readonly LotRecord[]) {
  const set = RULE_SETS[book.settings.law];
  return {
    format: 'ullage-claims',
    version: 1,
    on: formatDate(book.on),
    law: set.law,
    rules: set.version,
    caution: set.caution,
    wines: lots.map((lot) => wineJson(book, lot)),
  };
}

function wineJson(book: Book, lot: LotRecord) {
  const source = ({ file, line }: Place) => ({ file: book.files[file]?.path ?? '', line });
  const trail = trailOf(book, lot);
  const label = labelsOf(book).labels.get(lot.facts.id);
  const sums = (key: 'variety' | 'vintage' | 'region' | 'block' | 'grower') =>
    sumsBy(trail.sources, [key]).map(({ of, volume }) => ({ [key]: of[0] ?? '', microlitres: volume }));
  return {
    wine: lot.facts.name,
    bottling: lot.facts.bottling,
    label: label === undefined ? null : { text: label.text, source: source(label.place) },
    microlitres: trail.whole,
    claims: answersOf(book, lot).map(answerJson),
    sources: trail.sources.map(({ origin, volume, free, press }) => ({
      block: tellOf(origin, 'block'),
      variety: tellOf(origin, 'variety'),
      vintage: tellOf(origin, 'vintage'),
      region: tellOf(origin, 'region'),
      grower: tellOf(origin, 'grower'),
      microlitres: volume,
      freeRun: free,
      pressRun: press,
    })),
    shares: {
      variety: sums('variety'),
      vintage: sums('vintage'),
      region: sums('region'),
      block: sums('block'),
      grower: sums('grower'),
    },
    tags: trail.tags.map(({ happening, tag, net, sources }) => ({
      at: timestamp(happening.event.minute),
      tag: tag ?? null,
      micrograms: net,
      sources,
      source: source(happening.event.place),
    })),
    steps: trail.steps.map(({ happening, volume, sources }) => ({
      at: timestamp(happening.event.minute),
      says: happening.sentence,
      microlitres: volume,
      sources,
      source: source(happening.event.place),
    })),
    missing: trail.missing.map(({ text, happening }) => ({
      text,
      source: happening === undefined ? null : source(happening.event.place),
    })),
    wood: trail.wood.map(({ wood, minutes }) => ({ wood, minutes: Math.round(minutes) })),
  };
}

const answerJson = ({ claim, kind, verdict, declared, text, rule, share }: Answer) => ({
  claim,
  kind,
  verdict,
  declared,
  text,
  share: share === undefined ? null : { microlitres: share.part, of: share.whole },
  rule:
    rule === undefined
      ? null
      : {
          id: rule.id,
          section: rule.section,
          figure: rule.figure,
          textOf: rule.dated,
          known: rule.read,
          leavesOut: rule.leaves ?? null,
        },
});
