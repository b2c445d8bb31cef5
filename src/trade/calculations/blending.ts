/** Calculations about blending: a figure after blending two parts, and the shares that reach a figure. */
import { blendedFigure, litresOfSecond, shareOfSecond } from '../blend-figures.ts';
import { andThen, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given } from './calculation.ts';

const given = (all: Given, name: string): number => all.figures[name] ?? Number.NaN;

const HOLDS =
  'For what goes by volume and does not react: total acidity, sugar, total SO₂, volatile acidity, alcohol but for contraction. Not for pH, free SO₂ or colour.';
const TRY_FIRST =
  'Try it on the bench first, and measure after mixing well: precipitation and reactions are not reckoned.';

function blended(all: Given): Worked<Answer> {
  const litres = given(all, 'volume');
  const otherLitres = given(all, 'other-volume');
  const value = blendedFigure([
    { litres, figure: given(all, 'figure') },
    { litres: otherLitres, figure: given(all, 'other-figure') },
  ]);
  return andThen(value, (figure) => ({
    figures: [
      { say: 'figure of the blend, in the unit of the parts', value: figure, unit: '', decimals: 3 },
      { say: 'volume of the blend', value: litres + otherLitres, unit: 'L', decimals: 1 },
    ],
    method: 'what the parts hold together, over their volumes together',
    remarks: [HOLDS, TRY_FIRST],
  }));
}

function square(all: Given): Worked<Answer> {
  const figure = given(all, 'figure');
  const other = given(all, 'other-figure');
  const target = given(all, 'target');
  const { volume } = all.figures;
  return andThen(shareOfSecond(figure, other, target), (share): Worked<Answer> => {
    const toAdd = volume === undefined ? undefined : litresOfSecond(volume, figure, other, target);
    return andThen(toAdd ?? 0, (litres): Answer => {
      const added: Figure[] =
        volume === undefined
          ? []
          : [{ say: `of the other part to add to ${volume} L`, value: litres, unit: 'L', decimals: 2 }];
      return {
        figures: [
          { say: 'share of the other part', value: 100 * share, unit: '%', decimals: 2 },
          { say: 'parts of the first', value: Math.abs(other - target), unit: '', decimals: 3 },
          { say: 'parts of the other', value: Math.abs(target - figure), unit: '', decimals: 3 },
          ...added,
        ],
        method: "Pearson's square",
        remarks: [HOLDS, TRY_FIRST],
      };
    });
  });
}

export const BLENDING_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'blend-figure',
    say: 'A figure after blending two parts: total acidity, sugar, total SO₂, volatile acidity',
    inputs: [
      { name: 'figure', say: 'the figure of the first part, in any unit per volume', unit: '' },
      { name: 'volume', say: 'volume of the first part', unit: 'L', dimensions: ['volume'], record: 'volume' },
      { name: 'other-figure', say: 'the figure of the other part, in the same unit', unit: '' },
      { name: 'other-volume', say: 'volume of the other part', unit: 'L', dimensions: ['volume'] },
    ],
    formula: '(volume × figure + other-volume × other-figure) / (volume + other-volume)',
    range: `Figures from 0 up. ${HOLDS}`,
    sources: ['Conservation of mass'],
    example: '--figure 6.4 --volume "600 L" --other-figure 5.2 --other-volume "400 L"',
    work: blended,
  },
  {
    name: 'pearson-square',
    say: 'The shares of two parts that bring their blend to a figure between them',
    inputs: [
      { name: 'figure', say: 'the figure of the first part, in any unit per volume', unit: '' },
      { name: 'other-figure', say: 'the figure of the other part, in the same unit', unit: '' },
      { name: 'target', say: 'the figure wanted', unit: '' },
      {
        name: 'volume',
        say: 'volume of the first part, to say how much of the other to add',
        unit: 'L',
        dimensions: ['volume'],
        optional: true,
        record: 'volume',
      },
    ],
    formula:
      'first : other = |other-figure − target| : |target − figure|; litres to add = volume × (target − figure) / (other-figure − target)',
    range: `The target lies between the two figures. ${HOLDS}`,
    sources: ["Conservation of mass, as Pearson's square"],
    caution:
      'Spirit burns and adding it is licensed work; what may be blended and claimed is for the law of the place. With spirit the contraction makes the blend a little stronger than this.',
    example: '--figure 12 --other-figure 96 --target 18 --volume "1000 L"',
    work: square,
  },
];
