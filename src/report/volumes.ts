/** A lot's volume from its making to what is left: every gain and loss of its account, and its steps over time. */
import type { LossKind, LotRecord } from '../cellar/book.ts';
import type { Microlitres } from '../journal/events.ts';
import type { VolumeSteps, VolumeWaterfall, WaterfallRow } from './charted.ts';
import type { ReportContext } from './context.ts';
import { dayOf, dayText, isoDay, MINUTES_A_DAY, timeText } from './dates.ts';
import { exactVolumeText, volumeNumberOf, volumeText } from './figures.ts';
import type { Link } from './links.ts';

export interface VolumeModel {
  readonly waterfall: VolumeWaterfall;
  /** The account to the last millilitre. */
  readonly account: readonly { readonly name: string; readonly way: 'in' | 'out' | 'left'; readonly volume: string }[];
  readonly steps: VolumeSteps;
  readonly stepRows: readonly {
    readonly day: string;
    readonly iso: string;
    readonly time: string;
    readonly volume: string;
    readonly line: Link;
  }[];
  /** Steps that a long table leaves out: the chart shows them all. */
  readonly further: number;
}

export const LOSSES: Readonly<Record<LossKind, string>> = {
  lees: 'lees',
  pomace: 'left with the pomace',
  spill: 'spilled',
  leak: 'leaked',
  evaporation: 'evaporated',
  breakage: 'lost by breakage',
  spoilage: 'spoiled',
  cleaning: 'lost in cleaning',
  theft: 'stolen',
  handling: 'lost in handling',
  other: 'lost otherwise',
};

/** What `account.losses` is made of; lees, pomace and evaporation have rows of their own. */
const OTHER_LOSSES: readonly LossKind[] = [
  'spill',
  'leak',
  'breakage',
  'spoilage',
  'cleaning',
  'theft',
  'handling',
  'other',
];

const MOST_STEP_ROWS = 250;

interface Entry {
  readonly name: string;
  /** Above zero: came in. */
  readonly volume: Microlitres;
}

export function accountOf(lot: LotRecord): Entry[] {
  const { account, losses } = lot;
  const told = OTHER_LOSSES.map((kind): Entry => ({ name: LOSSES[kind], volume: -(losses[kind] ?? 0) }));
  const sum = told.reduce((total, { volume }) => total - volume, 0);
  const entries: Entry[] = [
    { name: 'made from fruit', volume: account.made },
    { name: 'bought in', volume: account.bought },
    { name: 'found on the first day', volume: account.found },
    { name: 'came in from other lots', volume: account.blendedIn },
    { name: 'water and solutions added', volume: account.liquids },
    { name: 'gained at dips', volume: account.dipGains },
    { name: 'must settled', volume: account.settled },
    { name: 'left with the pomace', volume: -account.pomace },
    { name: 'lees', volume: -account.lees },
    { name: 'evaporated', volume: -account.evaporation },
    { name: 'samples', volume: -account.samples },
    ...(sum === account.losses ? told : [{ name: 'lost', volume: -account.losses }]),
    { name: 'lost at dips', volume: -account.dipLosses },
    { name: 'went to other lots', volume: -account.blendedOut },
    { name: 'set apart', volume: -account.setApart },
    { name: 'bottled', volume: -account.bottled },
    { name: 'dispatched', volume: -account.dispatched },
  ];
  return entries.filter(({ volume }) => volume !== 0);
}

export function volumesOf(context: ReportContext, lot: LotRecord): VolumeModel | undefined {
  const entries = accountOf(lot);
  if (entries.length === 0 && lot.onHand === 0) return undefined;
  const { settings } = context;
  const number = (volume: Microlitres): number => volumeNumberOf(volume, settings);
  const rows: WaterfallRow[] = entries.map(({ name, volume }) => ({
    label: name,
    kind: volume > 0 ? 'in' : 'out',
    value: number(volume),
    text: `${volume > 0 ? '+' : '−'}${volumeText(Math.abs(volume), settings)}`,
  }));
  rows.push({
    label: 'on hand',
    kind: 'level',
    value: number(lot.onHand),
    text: volumeText(lot.onHand, settings, lot.estimated),
  });
  return {
    waterfall: { title: `Where the volume of ${lot.facts.name} came from and went`, unit: settings.volume, rows },
    account: [
      ...entries.map(({ name, volume }) => ({
        name,
        way: volume > 0 ? ('in' as const) : ('out' as const),
        volume: exactVolumeText(Math.abs(volume), settings),
      })),
      { name: 'on hand', way: 'left', volume: exactVolumeText(lot.onHand, settings) },
    ],
    steps: {
      title: `Volume of ${lot.facts.name} over time`,
      unit: settings.volume,
      points: lot.steps.map(({ minute, volume, estimated }) => ({ minute, volume: number(volume), estimated })),
      until: (context.book.on + 1) * MINUTES_A_DAY,
    },
    stepRows: lot.steps.slice(-MOST_STEP_ROWS).map(({ minute, volume, estimated, happening }) => ({
      day: dayText(dayOf(minute)),
      iso: isoDay(dayOf(minute)),
      time: timeText(minute),
      volume: volumeText(volume, settings, estimated),
      line: context.links.line(context.book.happenings[happening]?.event.place ?? lot.facts.place),
    })),
    further: Math.max(0, lot.steps.length - MOST_STEP_ROWS),
  };
}
