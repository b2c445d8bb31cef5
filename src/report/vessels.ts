/** The list of vessels, as declared, with what each holds. */
import type { ReportContext } from './context.ts';
import { volumeText } from './figures.ts';
import { fillText } from './fill.ts';
import type { Link } from './links.ts';

export interface VesselsModel {
  readonly path: string;
  readonly rows: readonly {
    readonly vessel: Link;
    readonly kind: string;
    readonly room: string;
    readonly place: string;
    readonly lot: Link | undefined;
    readonly fill: string;
    readonly fills: number;
  }[];
}

export function vesselsModel(context: ReportContext): VesselsModel {
  return {
    path: 'vessels.html',
    rows: context.book.vessels.map((vessel) => {
      const { facts, content, lot, retired, fills } = vessel;
      const holds = content.volume > 0;
      return {
        vessel: context.links.vessel(facts.id),
        kind: facts.kind,
        room: volumeText(facts.capacity, context.settings),
        place: facts.at ?? '',
        lot: holds && lot !== undefined ? context.links.lot(lot) : undefined,
        fill: holds ? fillText(context, vessel) : retired ? 'retired' : 'empty',
        fills: fills.length,
      };
    }),
  };
}
