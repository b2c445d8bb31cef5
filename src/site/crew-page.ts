/** A sheet for the crew as one page in one file, with the stylesheet in it: to be printed wherever it is taken. */
import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Figure } from '../report/context.ts';
import type { CrewSheet } from '../report/crew-sheets/crew-sheet.ts';
import { escapeText } from '../report/escape.ts';
import { templatesIn } from './render.ts';

/** @throws Error when the templates cannot be read: they are part of the program. */
export async function crewPage(page: CrewSheet, cellar: string, templates: string): Promise<string> {
  const [render, style] = await Promise.all([templatesIn(templates), readFile(join(templates, 'style.css'), 'utf8')]);
  return render('crew-page', {
    page,
    cellar: cellar === '' ? 'The cellar book' : cellar,
    style,
    // the one style the page may have
    styleHash: createHash('sha256').update(style).digest('base64'),
    // it is alone: there is nothing to lead to
    link: ({ text }: Figure) => escapeText(text),
  });
}
