/** The template engine: escaping is on, templates come from one folder, and nothing but our own drawings goes in raw. */
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Eta } from 'eta';
import { escapeText } from '../report/escape.ts';

/** Renders a template by name with its data; text among the data is escaped unless the template says raw. */
export type Render = (template: string, data: object) => string;

/**
 * Reads every `.eta` file of a folder once.
 *
 * @throws Error when the folder cannot be read: it is part of the program.
 */
export async function templatesIn(folder: string): Promise<Render> {
  const eta = new Eta({ autoEscape: true, escapeFunction: escapeValue, cache: true });
  for (const name of (await readdir(folder)).sort()) {
    if (!name.endsWith('.eta')) continue;
    eta.loadTemplate(`@${name.slice(0, -'.eta'.length)}`, await readFile(join(folder, name), 'utf8'));
  }
  return (template, data) => eta.render(`@${template}`, data);
}

function escapeValue(value: unknown): string {
  return value === undefined || value === null ? '' : escapeText(String(value));
}

/** Files of the folder that the site takes as they are. */
export const ASSETS = ['style.css', 'site.js', 'icon.svg'] as const;

export async function assetsIn(folder: string): Promise<{ path: string; text: string }[]> {
  return Promise.all(ASSETS.map(async (path) => ({ path, text: await readFile(join(folder, path), 'utf8') })));
}
