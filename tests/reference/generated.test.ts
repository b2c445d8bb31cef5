/** The committed reference is what the grammar and the prose generate, its links lead somewhere, its diagrams hold. */
import { describe, expect, test } from 'vitest';
import { diagram } from '../../grammar/reference/diagrams.ts';
import { type GrammarNode, ruleAsText } from '../../grammar/reference/ebnf.ts';
import { grammarRules, PROSE, type ProseName, referenceFiles } from '../../grammar/reference/generate.ts';
import { highlightingFile } from '../../grammar/reference/highlighting.ts';
import { TOKENS_SAID } from '../../grammar/reference/tokens-said.ts';
import { SUBSTANCES } from '../../src/trade/substances.ts';
import { grammarFile, grammarFolder, grammarHas } from './fences.ts';

const prose = Object.fromEntries(PROSE.map((name) => [name, grammarFile(`reference/prose/${name}.md`)])) as Record<
  ProseName,
  string
>;

const substances = SUBSTANCES.map((substance) => ({
  name: substance.name,
  kind: substance.kind,
  brings: substance.brings
    .map((brought) => `${(brought.partsPerMillion / 10_000).toFixed(1)} % ${brought.analyte}`)
    .join(', '),
  allergen: substance.allergen ?? '',
  caution: substance.caution ?? '',
}));

const files = referenceFiles({ prose, substances });

describe('the committed files are the generated ones', () => {
  // `npx vitest run tests/reference --update` writes them anew
  test.each(files)('$path', async ({ path, text }) => {
    await expect(text).toMatchFileSnapshot(`../../grammar/reference/${path}`);
  });

  test('the colouring grammar for editors', async () => {
    const { path, text } = highlightingFile();
    await expect(text).toMatchFileSnapshot(`../../grammar/editors/${path}`);
  });

  test('and no diagram is left over from a rule that is gone', () => {
    expect(grammarFolder('reference/diagrams')).toEqual(
      files
        .map(({ path }) => path)
        .filter((path) => path.startsWith('diagrams/'))
        .map((path) => path.slice('diagrams/'.length))
        .sort(),
    );
  });

  test('and every prose section has its place', () => {
    expect(grammarFolder('reference/prose')).toEqual(PROSE.map((name) => `${name}.md`).sort());
  });
});

describe('links', () => {
  const language = files[0]?.text ?? '';
  const slug = (title: string): string =>
    title
      .toLowerCase()
      .replace(/[^a-z0-9 -]/g, '')
      .replace(/ /g, '-');
  const anchors = new Set([...language.matchAll(/^#+ (.+)$/gm)].map((match) => slug(match[1] ?? '')));

  test('lead to headings and to files', () => {
    const targets = [...language.matchAll(/\]\(([^)]+)\)/g)].map((match) => match[1] ?? '');
    expect(targets.length).toBeGreaterThan(90);
    const broken = targets.filter((target) =>
      target.startsWith('#') ? !anchors.has(target.slice(1)) : !grammarHas(`reference/${target}`),
    );
    expect(broken).toEqual([]);
  });
});

describe('diagrams', () => {
  const terminal = (name: string): GrammarNode => ({ type: 'Terminal', name });
  const rule = (definition: GrammarNode[]): GrammarNode => ({ type: 'Rule', name: 'rule', definition });

  test('every token of the grammar has its words', () => {
    const names = new Set<string>();
    const walk = (node: GrammarNode): void => {
      if (node.type === 'Terminal' && node.name !== undefined) names.add(node.name);
      node.definition?.forEach(walk);
    };
    grammarRules().forEach(walk);
    expect([...names].filter((name) => TOKENS_SAID[name] === undefined)).toEqual([]);
  });

  test('a choice within a sequence is bracketed, alone it is not', () => {
    const choice: GrammarNode = {
      type: 'Alternation',
      definition: [
        { type: 'Alternative', definition: [terminal('Link')] },
        { type: 'Alternative', definition: [terminal('Comma'), terminal('Word')] },
      ],
    };
    expect(ruleAsText(rule([choice]))).toBe('rule = LINK | "," WORD ;');
    expect(ruleAsText(rule([choice, terminal('Unit')]))).toBe('rule = ( LINK | "," WORD ) UNIT ;');
    expect(ruleAsText(rule([{ type: 'Option', definition: [choice] }]))).toBe('rule = [ LINK | "," WORD ] ;');
    expect(ruleAsText(rule([{ type: 'RepetitionMandatory', definition: [terminal('Word')] }]))).toBe(
      'rule = WORD { WORD } ;',
    );
  });

  test('marks and quotes are escaped, and everything lies inside the picture', () => {
    for (const { path, text } of files.filter((file) => file.path.endsWith('.svg'))) {
      const [, width, height] = /viewBox="0 0 (\d+) (\d+)"/.exec(text) ?? [];
      expect(width, path).toBeDefined();
      for (const [, x, y, w, h] of text.matchAll(
        /<rect class="(?:typed|kind|rule)" x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"/g,
      )) {
        expect(Number(x)).toBeGreaterThan(0);
        expect(Number(y)).toBeGreaterThan(0);
        expect(Number(x) + Number(w)).toBeLessThan(Number(width));
        expect(Number(y) + Number(h)).toBeLessThan(Number(height));
      }
      expect(text).toContain('<desc id="text">');
    }
    expect(diagram(rule([terminal('<&>')]))).toContain('&lt;&amp;&gt;');
  });
});
