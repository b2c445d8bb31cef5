/** The rules of the grammar as text: `[ ]` may be left out, `{ }` may be repeated or left out, `|` chooses. */
import type { ISerializedGast } from 'chevrotain';
import { tokenSaid } from './tokens-said.ts';

/** A node of the serialised grammar with the fields its type has. */
export interface GrammarNode extends ISerializedGast {
  readonly name?: string;
  readonly definition?: GrammarNode[];
}

const sequence = (nodes: readonly GrammarNode[]): string => nodes.map(expression).join(' ');

const isChoice = (node: GrammarNode): boolean => node.type === 'Alternation' && (node.definition ?? []).length > 1;

/** A choice within a sequence needs brackets of its own. */
function expression(node: GrammarNode): string {
  const inner = node.definition ?? [];
  switch (node.type) {
    case 'Terminal': {
      const said = tokenSaid(node.name ?? '');
      return said.literal ? `"${said.text}"` : said.text;
    }
    case 'NonTerminal':
      return node.name ?? '';
    case 'Alternation':
      return inner.length === 1 ? sequence(inner) : `( ${choices(inner)} )`;
    case 'Option':
      return `[ ${unbracketed(inner)} ]`;
    case 'Repetition':
      return `{ ${unbracketed(inner)} }`;
    case 'RepetitionMandatory':
      return `${sequence(inner)} { ${unbracketed(inner)} }`;
    default:
      return sequence(inner);
  }
}

const choices = (alternatives: readonly GrammarNode[]): string => alternatives.map(expression).join(' | ');

function unbracketed(nodes: readonly GrammarNode[]): string {
  const only = nodes[0];
  return nodes.length === 1 && only !== undefined && isChoice(only) ? choices(only.definition ?? []) : sequence(nodes);
}

/** One rule: `when = TIME [ ".." TIME | "," TIME { "," TIME } ] ;` */
export function ruleAsText(rule: GrammarNode): string {
  return `${rule.name ?? ''} = ${unbracketed(rule.definition ?? [])} ;`;
}
