/** The claims of a label that stand on where the wine comes from, each with the origins that bear it. */
import type { LabelSaid } from '../journal/events.ts';
import type { Origin } from '../journal/register.ts';
import { grape, same } from './claims.ts';

export interface SourceClaim {
  /** `variety Syrah` */
  readonly claim: string;
  readonly bears: (origin: Origin) => boolean;
}

export function sourceClaims(said: LabelSaid): SourceClaim[] {
  return [
    ...said.varieties.map(({ name }) => ({
      claim: `variety ${name}`,
      bears: ({ variety }: Origin) => grape(variety) === grape(name),
    })),
    ...(said.vintage === undefined
      ? []
      : [{ claim: `vintage ${said.vintage}`, bears: ({ vintage }: Origin) => vintage === said.vintage }]),
    ...said.regions.map(({ name }) => ({
      claim: `region ${name}`,
      bears: ({ region }: Origin) => same(region, name),
    })),
    ...said.blocks.map((name) => ({ claim: `block ${name}`, bears: ({ block }: Origin) => same(block, name) })),
    ...(said.estate ? [{ claim: 'estate', bears: ({ estate }: Origin) => estate }] : []),
  ];
}

/** What tells origins apart but for the run of the press, which changes on the way. */
export const originKey = ({ block, variety, vintage, region, grower, estate }: Origin): string =>
  JSON.stringify([block ?? '', variety, vintage ?? '', region ?? '', grower ?? '', estate]);
