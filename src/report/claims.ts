/** The page of a label: each claim with its rule and its margin, the shares it stands on, and the trail that proves them. */
import type { Book, LotRecord } from '../cellar/book.ts';
import type { LabelSaid, LotId, Place } from '../journal/events.ts';
import { type Answer, judge } from '../law/claims.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import type { Rule } from '../law/rules.ts';
import { sayShare } from '../law/share.ts';
import { allergensOf, broughtIn, type Figures, keepFigures, sourcesOf, type Wine } from '../law/wine.ts';
import { CAUTIONS, type Caution } from './cautions.ts';
import { waysSection } from './claim-ways.ts';
import type { Figure, ReportContext } from './context.ts';
import { dayOf, dayText, isoDay } from './dates.ts';
import { exactVolumeText, massText, volumeText } from './figures.ts';
import { Known } from './known.ts';
import { counted } from './names.ts';
import { cell, figures, type Sheet, type SheetSection } from './sheet.ts';
import { type SourceKey, sumsBy, type Trail, tellOf, trailOf } from './trail.ts';

export interface ClaimsModel {
  readonly path: string;
  readonly name: string;
  readonly lead: string;
  readonly lot: Figure;
  /** The rules compared with, and of which version. */
  readonly rules: string;
  readonly caution: Caution;
  readonly label: Figure | undefined;
  readonly answers: Sheet | undefined;
  readonly sections: readonly SheetSection[];
}

/** What a book has on labels: the last `label` line of each lot, and the newest figures of each lot. */
interface LabelBook {
  readonly labels: ReadonlyMap<LotId, { readonly said: LabelSaid; readonly text: string; readonly place: Place }>;
  readonly figures: ReadonlyMap<LotId, Figures>;
}

const KEPT = new Known<Book, LabelBook>(labelsOf);

export function labelsOf(book: Book): LabelBook {
  let known = KEPT.get(book);
  if (known === undefined) {
    const labels = new Map<LotId, { said: LabelSaid; text: string; place: Place }>();
    const read = new Map<LotId, Figures>();
    for (const { event, lots, movements } of book.happenings) {
      keepFigures(read, event, lots, movements);
      if (event.kind === 'kept' && event.label !== undefined)
        labels.set(event.label.lot, { said: event.label, text: event.details, place: event.place });
    }
    known = { labels, figures: read };
    KEPT.set(book, known);
  }
  return known;
}

/** Lots that have a page of claims: bottlings, and wines in vessels with a label planned. */
export function claimedLots({ book }: { readonly book: Book }): readonly LotRecord[] {
  const { labels } = labelsOf(book);
  return book.lots.filter(({ facts }) => facts.bottling || labels.has(facts.id));
}

/** `labels/26sy-01.html` beside `lots/26sy-01.html`. */
export const claimsPath = (lotPage: string): string => lotPage.replace(/^lots\//u, 'labels/');

/** Where the claims of a lot are told, if anywhere. */
export function claimsLink({ book, links }: ReportContext, lot: LotRecord): Figure | undefined {
  const page = links.lotPages[lot.facts.id];
  if (page === undefined || !(lot.facts.bottling || labelsOf(book).labels.has(lot.facts.id))) return undefined;
  return { text: 'claims and trail', href: claimsPath(page) };
}

/** The wine of a lot as the book has it. */
export function wineOf(book: Book, lot: LotRecord): Wine {
  return {
    sources: sourcesOf(book.origins, lot.filledOf ?? lot.composition),
    open: !lot.facts.bottling,
    estimated: lot.estimated,
    broughtIn: broughtIn(lot.facts.id, (id) => {
      const kin = book.lots[id];
      return kin === undefined
        ? undefined
        : { facts: kin.facts, account: kin.account, parents: kin.parents.map((parent) => parent.lot) };
    }),
    colour: lot.colour,
    figures: labelsOf(book).figures.get(lot.facts.id) ?? {},
    allergens: allergensOf(
      book.materials,
      lot.additions.map(({ material }) => material),
    ),
  };
}

/** The answers to what a lot's label claims, by the law the journal chooses; none without a label. */
export function answersOf(book: Book, lot: LotRecord): readonly Answer[] {
  const label = labelsOf(book).labels.get(lot.facts.id);
  if (label === undefined) return [];
  return judge(RULE_SETS[book.settings.law], label.said, wineOf(book, lot), book.settings.volume);
}

export function claimsModel(context: ReportContext, lot: LotRecord): ClaimsModel | undefined {
  const { book, links } = context;
  const page = links.lotPages[lot.facts.id];
  if (page === undefined) return undefined;
  const label = labelsOf(book).labels.get(lot.facts.id);
  const set = RULE_SETS[book.settings.law];
  const trail = trailOf(book, lot);
  const answers = answersOf(book, lot);
  return {
    path: claimsPath(page),
    name: lot.facts.name,
    lead: leadOf(context, trail, answers),
    lot: links.lot(lot.facts.id),
    rules: set.claims === undefined ? 'No rules are chosen.' : `Compared with: ${set.name}, set ${set.version}.`,
    caution: { title: CAUTIONS['label claims'].title, text: set.caution },
    label: label === undefined ? undefined : { text: label.text, ...hrefOf(links.line(label.place)) },
    answers: answers.length === 0 ? undefined : answersSheet(answers),
    sections: [
      label === undefined
        ? undefined
        : waysSection(context, trail, label.said, lettersOf, labelsOf(book).figures.get(lot.facts.id) ?? {}),
      ...sharesSections(context, trail),
      tagsSection(context, trail),
      stepsSection(context, trail),
      missingSection(context, trail),
      woodSection(trail),
      rulesSection(answers),
    ].filter((section) => section !== undefined),
  };
}

const hrefOf = ({ href }: { readonly href?: string }): { readonly href?: string } =>
  href === undefined ? {} : { href };

function leadOf(context: ReportContext, { whole, sources, lot }: Trail, answers: readonly Answer[]): string {
  if (whole === 0) return 'The record has no wine of it.';
  const held = `${volumeText(whole, context.settings, lot.estimated)} from ${counted(sources.length, 'source')}`;
  const short = answers.filter(({ verdict }) => verdict === 'not reached').length;
  const open = answers.filter(({ verdict }) => verdict === 'cannot tell').length;
  if (answers.length === 0) return `${held}; no \`label\` line says what is claimed of it.`;
  const look = answers.filter(({ verdict }) => verdict === 'to look at').length;
  const told = [
    short === 0 ? '' : `${counted(short, 'figure')} not reached`,
    open === 0 ? '' : `${counted(open, 'claim')} the record cannot tell`,
    look === 0 ? '' : `${counted(look, 'thing')} to look at`,
  ].filter((word) => word !== '');
  return `${held}; ${told.length === 0 ? 'every figure that is compared is reached' : told.join(', ')}.`;
}

function answersSheet(answers: readonly Answer[]): Sheet {
  return {
    label: 'Claims',
    caption: 'What the label claims, what the record has of it, and the rule it is compared with',
    columns: [
      { name: 'Claim' },
      { name: 'Comes to' },
      { name: 'In words', kind: 'words' },
      { name: 'Rule', kind: 'words' },
    ],
    rows: answers.map(({ claim, verdict, text, rule }) => ({
      cells: [cell(claim), cell(verdict), cell(text), rule === undefined ? cell('') : ruleCell(rule)],
    })),
    sort: false,
  };
}

const ruleCell = (rule: Rule) => figures([{ text: rule.section, href: `#${rule.id}` }], rule.figure);

/** A, B … Z, A2, B2 …: sources are told by letters on the way. */
function letterOf(index: number): string {
  const letter = String.fromCharCode(65 + (index % 26));
  return index < 26 ? letter : `${letter}${Math.floor(index / 26) + 1}`;
}

const lettersOf = (sources: readonly number[]): string => sources.map(letterOf).join(' ');

const ALONE: readonly SourceKey[] = ['variety', 'vintage', 'region', 'block', 'grower'];
const JOINT: readonly SourceKey[] = ['variety', 'region', 'vintage'];

function sharesSections({ settings }: ReportContext, trail: Trail): SheetSection[] {
  const { sources, whole } = trail;
  if (whole === 0) return [];
  const share = (volume: number): string => sayShare(volume, whole);
  const exact = (volume: number): string => exactVolumeText(volume, settings);
  const joint: Sheet = {
    label: 'Sources',
    caption: 'Every source by itself: shares rounded down, volumes to the millilitre',
    columns: [
      { name: '' },
      { name: 'Block' },
      { name: 'Grape' },
      { name: 'Year' },
      { name: 'Region' },
      { name: 'Grower' },
      { name: 'Share', kind: 'number' },
      { name: 'Volume', kind: 'number' },
      { name: 'Free run', kind: 'number' },
      { name: 'Press run', kind: 'number' },
    ],
    rows: sources.map(({ origin, volume, free, press }, i) => ({
      id: `source-${letterOf(i).toLowerCase()}`,
      cells: [
        cell(letterOf(i)),
        cell(tellOf(origin, 'block')),
        cell(tellOf(origin, 'variety')),
        cell(tellOf(origin, 'vintage')),
        cell(tellOf(origin, 'region')),
        cell(tellOf(origin, 'grower')),
        cell(share(volume)),
        cell(exact(volume)),
        cell(free === 0 ? '' : share(free)),
        cell(press === 0 ? '' : share(press)),
      ],
    })),
    foot: {
      cells: ['all', '', '', '', '', '', '', exact(whole), '', ''].map((text) => cell(text)),
    },
    sort: false,
  };
  const together = sumsBy(sources, JOINT);
  const free = sources.reduce((sum, one) => sum + one.free, 0);
  const press = sources.reduce((sum, one) => sum + one.press, 0);
  const runs = [
    ['free run', free],
    ['press run', press],
    ['run not told', whole - free - press],
  ] as const;
  return [
    { id: 'sources', title: 'What it is made of', sheet: joint },
    {
      id: 'together',
      title: 'Grape, region and year together',
      sheet: {
        label: 'Grape, region and year together',
        caption: 'What rules ask of several at once is asked of these sums',
        columns: [
          { name: 'Grape' },
          { name: 'Region' },
          { name: 'Year' },
          { name: 'Share', kind: 'number' },
          { name: 'Volume', kind: 'number' },
        ],
        rows: together.map(({ of, volume }) => ({
          cells: [...of.map((text) => cell(text)), cell(share(volume)), cell(exact(volume))],
        })),
        sort: false,
      },
    },
    {
      id: 'apart',
      title: 'Each by itself',
      sheet: {
        label: 'Each by itself',
        caption: 'By grape, year, region, block and grower, and by run',
        columns: [
          { name: 'By' },
          { name: 'What' },
          { name: 'Share', kind: 'number' },
          { name: 'Volume', kind: 'number' },
        ],
        rows: [
          ...ALONE.flatMap((key) =>
            sumsBy(sources, [key]).map(({ of, volume }) => ({
              cells: [cell(key), cell(of[0] ?? ''), cell(share(volume)), cell(exact(volume))],
            })),
          ),
          ...runs
            .filter(([, volume]) => volume > 0)
            .map(([name, volume]) => ({ cells: [cell('run'), cell(name), cell(share(volume)), cell(exact(volume))] })),
        ],
        sort: false,
      },
    },
  ];
}

function tagsSection({ links, settings }: ReportContext, { tags }: Trail): SheetSection | undefined {
  if (tags.length === 0) return undefined;
  return {
    id: 'tags',
    title: 'Weigh tags',
    sheet: {
      label: 'Weigh tags',
      caption: 'The fruit it came from, as it was weighed in',
      columns: [
        { name: 'Day', kind: 'nowrap' },
        { name: 'Tag' },
        { name: 'Source' },
        { name: 'Net', kind: 'number' },
        { name: 'Line', kind: 'line' },
      ],
      rows: tags.map(({ happening, tag, net, sources }) => ({
        cells: [
          { figures: [{ text: dayText(dayOf(happening.event.minute)) }], iso: isoDay(dayOf(happening.event.minute)) },
          cell(tag ?? 'none'),
          cell(lettersOf(sources)),
          cell(massText(net, settings)),
          figures([links.line(happening.event.place)]),
        ],
      })),
      sort: false,
    },
  };
}

function stepsSection({ links, settings }: ReportContext, { steps }: Trail): SheetSection | undefined {
  if (steps.length === 0) return undefined;
  return {
    id: 'way',
    title: 'The way from the fruit to the wine',
    sheet: {
      label: 'The way from the fruit to the wine',
      caption: 'Every line that moved wine which came to this one, with the sources it can have carried',
      columns: [
        { name: 'Day', kind: 'nowrap' },
        { name: 'What', kind: 'words' },
        { name: 'On the way', kind: 'number' },
        { name: 'Sources' },
        { name: 'Line', kind: 'line' },
      ],
      rows: steps.map(({ happening, volume, sources }) => ({
        cells: [
          { figures: [{ text: dayText(dayOf(happening.event.minute)) }], iso: isoDay(dayOf(happening.event.minute)) },
          cell(happening.sentence),
          cell(volume === 0 ? '' : volumeText(volume, settings)),
          cell(lettersOf(sources)),
          figures([links.line(happening.event.place)]),
        ],
      })),
      sort: false,
    },
  };
}

function missingSection({ links }: ReportContext, { missing }: Trail): SheetSection {
  return {
    id: 'missing',
    title: 'What is missing on the way',
    words:
      missing.length === 0
        ? [{ text: 'Nothing: every source is told, weighed in with a tag, and followed to here.' }]
        : missing.map(({ text, happening }) =>
            happening === undefined
              ? { text }
              : {
                  text: `${dayText(dayOf(happening.event.minute))}: ${text}`,
                  ...hrefOf(links.line(happening.event.place)),
                },
          ),
  };
}

/** Days of a month of thirty: wood is told in months. */
const MINUTES_A_MONTH = 30 * 1440;

function woodSection({ wood }: Trail): SheetSection | undefined {
  if (wood.length === 0) return undefined;
  return {
    id: 'wood',
    title: 'Time in wood',
    sheet: {
      label: 'Time in wood',
      caption: 'Averaged over the whole volume, in months of thirty days; wine that never lay in wood counts as none',
      columns: [{ name: 'Wood' }, { name: 'Months', kind: 'number' }],
      rows: wood.map((one) => ({ cells: [cell(one.wood), cell((one.minutes / MINUTES_A_MONTH).toFixed(1))] })),
      sort: false,
    },
  };
}

function rulesSection(answers: readonly Answer[]): SheetSection | undefined {
  const rules = [
    ...new Map(answers.flatMap(({ rule }) => (rule === undefined ? [] : [[rule.id, rule] as const]))).values(),
  ];
  if (rules.length === 0) return undefined;
  return {
    id: 'rules',
    title: 'The rules, and how they are known',
    sheet: {
      label: 'The rules, and how they are known',
      caption: 'Each rule as it is written down in the set, with the text it is from',
      columns: [
        { name: 'Rule' },
        { name: 'Section' },
        { name: 'Figure', kind: 'words' },
        { name: 'Text of', kind: 'words' },
        { name: 'How it is known' },
        { name: 'Leaves out', kind: 'words' },
      ],
      rows: rules.map((rule) => ({
        id: rule.id,
        cells: [
          cell(rule.title),
          cell(rule.section),
          cell(rule.figure),
          cell(rule.dated),
          cell(rule.read),
          cell(rule.leaves ?? ''),
        ],
      })),
      sort: false,
    },
  };
}
