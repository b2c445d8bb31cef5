/** `ullage sheet FOLDER KIND --out FILE`: a sheet for the crew as one page to print. */
import { crewSheet } from '../report/crew-sheets/crew-sheets.ts';
import type { CrewSheetKind } from '../report/crew-sheets/kinds.ts';
import { counted } from '../report/names.ts';
import { type CrewOptions, contextIn, endOf, orderedBy, refuse } from './crew-order.ts';
import { handOut } from './hand-out.ts';
import { packagePath } from './package-path.ts';
import { visible } from './show.ts';

export interface SheetOptions extends CrewOptions {
  readonly out: string;
}

/** 0 written, 1 written with errors in the journal, 2 wrong usage, or something that cannot be read or written. */
export async function sheet(folder: string, kind: CrewSheetKind, options: SheetOptions): Promise<number> {
  const context = contextIn(folder, options.on);
  if (context === undefined) return 2;
  const order = orderedBy(context, kind, options);
  if (order === undefined) return 2;
  const page = crewSheet(context, kind, order);
  const { crewPage } = await import('../site/crew-page.ts');
  const html = await crewPage(page, context.settings.name, packagePath('templates'));
  const why = handOut(html, options.out);
  if (why !== undefined) return refuse(`${visible(options.out)} was not written: ${why}`);
  const rows = page.tables[0]?.rows.length ?? 0;
  const told = rows === 0 ? 'nothing on it' : counted(rows, 'row');
  process.stdout.write(`${visible(options.out)} written: ${page.title.toLowerCase()}, ${page.day}, ${told}\n`);
  return endOf(context);
}
