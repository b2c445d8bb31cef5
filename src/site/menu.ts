/** The menu: a few words on every page, and beneath a word that has several pages a line of those. */

interface Entry {
  readonly text: string;
  readonly href: string;
}

interface Group {
  readonly text: string;
  /** The first is where the word leads. */
  readonly pages: readonly [Entry, ...Entry[]];
  /** Folders whose pages belong to it, each to the page named. */
  readonly folders: Readonly<Record<string, string>>;
}

const one = (text: string, href: string, folders: Group['folders'] = {}): Group => ({
  text,
  pages: [{ text, href }],
  folders,
});

const GROUPS: readonly Group[] = [
  one('Cellar', 'index.html'),
  one('Work', 'work.html', { 'sheets/': 'work.html' }),
  one('Ferments', 'ferments.html'),
  {
    text: 'Lots',
    pages: [
      { text: 'All lots', href: 'lots.html' },
      { text: 'From block to bottle', href: 'lineage.html' },
      { text: 'Bench trials', href: 'trials.html' },
    ],
    folders: {
      'trials/': 'trials.html',
      'lots/': 'lots.html',
      'history/': 'lots.html',
      'labels/': 'lots.html',
      'lineage/': 'lineage.html',
    },
  },
  {
    text: 'Vessels',
    pages: [
      { text: 'All vessels', href: 'vessels.html' },
      { text: 'Barrels', href: 'barrels.html' },
    ],
    folders: { 'vessels/': 'vessels.html', 'all-vessels/': 'vessels.html', 'barrels/': 'barrels.html' },
  },
  one('Fruit', 'fruit.html', { 'fruit/': 'fruit.html' }),
  one('Bottles', 'bottled.html', { 'bottled/': 'bottled.html' }),
  {
    text: 'Materials',
    pages: [
      { text: 'All materials', href: 'materials.html' },
      { text: 'Received and used', href: 'stores.html' },
    ],
    folders: { 'materials/': 'materials.html', 'batches/': 'materials.html', 'stores/': 'stores.html' },
  },
  {
    text: 'Volumes',
    pages: [
      { text: 'By month', href: 'months.html' },
      { text: 'Wine by class', href: 'volumes.html' },
      { text: 'By vintage', href: 'vintages.html' },
      { text: 'Stocktakes', href: 'stocktakes.html' },
      { text: 'How figures are worked out', href: 'method.html' },
    ],
    folders: {
      'stocktakes/': 'stocktakes.html',
      'months/': 'months.html',
      'volumes/': 'volumes.html',
      'vintages/': 'vintages.html',
    },
  },
  {
    text: 'Record',
    pages: [
      { text: 'Findings', href: 'findings.html' },
      { text: 'Journal', href: 'journal.html' },
      { text: 'Day by day', href: 'days.html' },
      { text: 'Corrections', href: 'corrections.html' },
      { text: 'What can be found', href: 'help.html' },
    ],
    folders: { 'journal/': 'journal.html', 'days/': 'days.html', 'help/': 'help.html' },
  },
  one('Search', 'search.html'),
];

export interface MenuItem extends Entry {
  /** Where the page is: this very page, among its pages, or elsewhere. */
  readonly here: 'page' | 'true' | undefined;
}

export interface Menu {
  readonly words: readonly MenuItem[];
  /** The pages of the word the page belongs to, where there are several. */
  readonly beneath: readonly MenuItem[];
}

/** The menu as a page at a path shows it. */
export function menuOf(path: string): Menu {
  const home = GROUPS.find((group) => ownPage(group, path) !== undefined);
  const own = home === undefined ? undefined : ownPage(home, path);
  const at = (href: string): MenuItem['here'] => (href === path ? 'page' : href === own ? 'true' : undefined);
  return {
    words: GROUPS.map((group) => {
      const { href } = group.pages[0];
      return { text: group.text, href, here: group === home ? (href === path ? 'page' : 'true') : undefined };
    }),
    beneath:
      home === undefined || home.pages.length === 1
        ? []
        : home.pages.map(({ text, href }) => ({ text, href, here: at(href) })),
  };
}

/** The page of a group that a path is, or lies beneath. */
function ownPage({ pages, folders }: Group, path: string): string | undefined {
  return (
    pages.find(({ href }) => href === path)?.href ??
    Object.entries(folders).find(([folder]) => path.startsWith(folder))?.[1]
  );
}
