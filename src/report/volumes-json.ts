/** The volumes of a period as plain data for other programs, and as rows; `volumes.schema.json` describes the data. */
import { formatDate } from '../../grammar/dates.ts';
import type { Book } from '../cellar/book.ts';
import type { Place } from '../journal/events.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import { toldText } from '../trade/running-sums.ts';
import type { Cell } from './csv.ts';
import { timestamp } from './export.ts';
import { byEntry, isNothing, lawTold } from './period-page.ts';
import type { AccountLine, AccountVolumes, Amount, PeriodVolumes, ToldUnits } from './period-volumes.ts';
import { accountName, askedFor, lineName } from './volume-lines.ts';
import { yearLosses } from './year-losses.ts';

/** Microlitres are exact; litres and wine gallons are as they are told, so that they add up. */
export function volumesJson(book: Book, volumes: PeriodVolumes) {
  const set = RULE_SETS[book.settings.law];
  const { period, units, accounts, notYetWine } = volumes;
  const source = ({ file, line }: Place) => ({ file: book.files[file]?.path ?? '', line });
  const amount = (one: Amount) => amountJson(one, units);
  const line = (account: AccountVolumes, one: AccountLine) => ({
    way: one.way,
    line: one.key,
    says: lineName(one.way, one.key),
    askedForAs: askedFor(set.volumes, `${account.kind} ${one.way} ${one.key}`) || null,
    ...amount(one.amount),
    entries: byEntry(one.entries).map(({ happening, amount: part, estimated }) => ({
      at: timestamp(happening.event.minute),
      says: happening.sentence,
      ...amount(part),
      estimated,
      source: source(happening.event.place),
    })),
  });
  return {
    format: 'ullage-volumes',
    version: 1,
    on: formatDate(book.on),
    period: { id: period.id, from: formatDate(period.from), to: formatDate(period.to) },
    law: set.law,
    rules: set.version,
    caution: lawTold(set, []).caution,
    gallons: { factor: units.factor.text, section: units.factor.rule?.section ?? null },
    places: units.litres.places,
    accounts: accounts.map((account) => ({
      kind: account.kind,
      class: account.wineClass?.id ?? null,
      says: accountName(account.kind, account.wineClass),
      start: amount(account.start),
      lines: account.lines.map((one) => line(account, one)),
      toAccountFor: amount(account.toAccountFor),
      rounding: amount(account.rounding),
      end: amount(account.end),
    })),
    notYetWine: notYetWine.map(({ vessel, lot, volume }) => ({
      vessel: book.vessels[vessel]?.facts.name ?? '',
      lot: book.lots[lot]?.facts.name ?? '',
      microlitres: volume,
    })),
    losses: period.kind === 'year' ? lossesJson(book, volumes) : null,
  };
}

const amountJson = ({ exact, litres, gallons }: Amount, units: ToldUnits) => ({
  microlitres: exact,
  litres: Number(toldText(litres, units.litres, false)),
  gallons: Number(toldText(gallons, units.gallons, false)),
});

function lossesJson(book: Book, volumes: PeriodVolumes) {
  const { volumes: rules } = RULE_SETS[book.settings.law];
  const { classes, vessels, works, missing } = yearLosses(rules, volumes);
  const amount = (one: Amount) => amountJson(one, volumes.units);
  return {
    classes: classes.map(({ wineClass, lost, used }) => ({
      class: wineClass?.id ?? null,
      lost: amount(lost),
      allowances: used.map(({ allowance, base, allowed, lost: part, passed }) => ({
        rule: allowance.rule.id,
        section: allowance.rule.section,
        of: allowance.of,
        share: allowance.share / 1e6,
        baseMicrolitres: base,
        allowedMicrolitres: allowed,
        lostMicrolitres: part,
        passed,
      })),
    })),
    vessels: vessels.map(({ of, amount: lost }) => ({ vessel: book.vessels[of]?.facts.name ?? '', ...amount(lost) })),
    works: works.map(({ of, amount: lost }) => ({ work: of, ...amount(lost) })),
    missingBottles: missing.map(({ happening, amount: lost }) => ({
      at: timestamp(happening.event.minute),
      ...amount(lost),
      source: { file: book.files[happening.event.place.file]?.path ?? '', line: happening.event.place.line },
    })),
  };
}

export const VOLUME_HEADS: readonly string[] = [
  'from',
  'to',
  'account',
  'class',
  'way',
  'line',
  'says',
  'asked_for_as',
  'litres',
  'gallons',
  'microlitres',
  'entries',
];

/** A row for every figure of every account. */
export function volumeRows(book: Book, { period, units, accounts }: PeriodVolumes): Cell[][] {
  const rules = RULE_SETS[book.settings.law].volumes;
  return accounts.flatMap((account) => {
    const { kind, wineClass, start, lines, toAccountFor, rounding, end } = account;
    const row = (
      way: string,
      line: string,
      says: string,
      asked: string,
      { exact, litres, gallons }: Amount,
      entries: number | null,
    ): Cell[] => [
      formatDate(period.from),
      formatDate(period.to),
      kind,
      wineClass?.id ?? null,
      way,
      line,
      says,
      asked,
      Number(toldText(litres, units.litres, false)),
      Number(toldText(gallons, units.gallons, false)),
      exact,
      entries,
    ];
    return [
      row('start', '', 'at the start', askedFor(rules, `${kind} start`), start, null),
      ...lines.map(({ way, key, amount, entries }) =>
        row(way, key, lineName(way, key), askedFor(rules, `${kind} ${way} ${key}`), amount, byEntry(entries).length),
      ),
      row('sum', '', 'to account for', '', toAccountFor, null),
      ...(isNothing(rounding) ? [] : [row('rounding', '', 'lines as rounded', '', rounding, null)]),
      row('end', '', 'at the end', askedFor(rules, `${kind} end`), end, null),
    ];
  });
}
