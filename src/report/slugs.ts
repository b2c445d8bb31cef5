/** File names for pages from names of any script: safe on every file system, never the same twice, the same every time. */

/** Longer names are cut; what was cut off is told by the number at the end. */
const LONGEST = 48;

/** Names some file systems keep for devices. */
const DEVICE = /^(?:con|prn|aux|nul|com[0-9]|lpt[0-9])$/u;

/**
 * A slug for each name, in order: lower-case Latin letters, digits and single hyphens, which no file system confuses and
 * no path climbs out of. The first of several that would be alike keeps the plain form; the others end in a number made
 * from their text, so that a slug seldom changes when other names come and go.
 */
export function slugs(names: readonly string[]): string[] {
  const taken = new Set<string>();
  return names.map((name) => {
    const plain = plainSlug(name);
    let slug = plain.slug;
    if (plain.lossy || taken.has(slug)) slug = `${slug === '' ? 'x' : slug}-${numberOf(name)}`;
    for (let turn = 2; taken.has(slug); turn += 1)
      slug = `${plain.slug === '' ? 'x' : plain.slug}-${numberOf(name)}-${turn}`;
    taken.add(slug);
    return slug;
  });
}

/** `lossy`: so much of the name is gone that the slug alone does not tell it. */
function plainSlug(name: string): { slug: string; lossy: boolean } {
  const letters = name
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase();
  const slug = letters
    .replace(/[^a-z0-9]+/gu, '-')
    .slice(0, LONGEST)
    .replace(/^-+|-+$/gu, '');
  const lossy = slug === '' || DEVICE.test(slug) || letters.length > LONGEST || /[^\p{ASCII}]/u.test(letters);
  return { slug, lossy };
}

/** Six base-36 digits of a text: FNV-1a over its UTF-16 code units, 32 bits. */
function numberOf(text: string): string {
  let hash = 0x811c9dc5;
  for (let index = 0; index < text.length; index += 1) {
    hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193) >>> 0;
  }
  return hash.toString(36).padStart(6, '0').slice(-6);
}
