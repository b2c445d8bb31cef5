/** A stocktake to be filled in by hand, as one page in one file: what should be there, and room for what is found. */
import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { CAUTIONS } from '../report/cautions.ts';
import type { ReportContext } from '../report/context.ts';
import { fullDayText } from '../report/dates.ts';
import { bottleText, exactVolumeText } from '../report/figures.ts';
import { storeText } from '../report/materials.ts';
import { nameList } from '../report/names.ts';
import { stocktakeList } from '../report/stocktake-list.ts';
import { templatesIn } from './render.ts';

interface Row {
  readonly what: string;
  readonly of: string;
  /** What should be there; empty where it is left out. */
  readonly book: string;
}

/** One table of the sheet, a row a thing. */
interface Part {
  readonly title: string;
  readonly heads: readonly [what: string, of: string];
  readonly rows: readonly Row[];
}

/**
 * The page as text. `blind` leaves out what should be there.
 *
 * @throws Error when the templates cannot be read: they are part of the program.
 */
export async function stocktakeSheet(context: ReportContext, blind: boolean, templates: string): Promise<string> {
  const [render, ...sheets] = await Promise.all([
    templatesIn(templates),
    readFile(join(templates, 'style.css'), 'utf8'),
    readFile(join(templates, 'stocktake.css'), 'utf8'),
  ]);
  const style = sheets.join('\n');
  const { book, settings } = context;
  const { held, empty, bottled, materials } = stocktakeList(context);
  const parts: Part[] = [
    {
      title: 'Wine and must in vessels',
      heads: ['Vessel', 'Wine'],
      rows: held.map(({ vessel, lot }) => ({
        what: vessel.facts.name,
        of: lot?.facts.name ?? '',
        book: `${vessel.estimated ? '~' : ''}${exactVolumeText(vessel.content.volume, settings)}`,
      })),
    },
    {
      title: 'Bottles',
      heads: ['Bottling', 'Size'],
      rows: bottled.map(({ lot, bottles }) => ({
        what: lot.facts.name,
        of: bottleText(bottles.size),
        book: String(bottles.count),
      })),
    },
    {
      title: 'Materials',
      heads: ['Material', 'What it is'],
      rows: materials.map(({ facts, amount }) => ({
        what: facts.name,
        of: facts.substance ?? facts.kind,
        book: storeText(amount),
      })),
    },
  ];
  return render('stocktake-sheet', {
    cellar: settings.name === '' ? 'The cellar book' : settings.name,
    day: fullDayText(book.on),
    blind,
    parts: parts.filter(({ rows }) => rows.length > 0),
    empty: nameList(
      empty.map(({ facts }) => facts.name),
      80,
    ),
    cautions: [CAUTIONS.entry, CAUTIONS.heights, CAUTIONS.lifting],
    style,
    // the one style the page may have
    styleHash: createHash('sha256').update(style).digest('base64'),
  });
}
