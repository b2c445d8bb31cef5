import { describe, expect, test } from 'vitest';
import { dateTicks, linear, niceLinear, numberTicks, spread } from '../../src/charts/axis.ts';
import { compositionBar } from '../../src/charts/composition-bar.ts';
import { fermentCurve } from '../../src/charts/ferment-curve.ts';
import { fullness } from '../../src/charts/fullness.ts';
import { volumeSteps } from '../../src/charts/volume-steps.ts';
import { volumeWaterfall } from '../../src/charts/volume-waterfall.ts';
import type { CurveSeries, FermentCurve, Fullness, VolumeWaterfall } from '../../src/report/charted.ts';
import { expectDrawing, expectGoodSvg } from './snapshot.ts';

/** 2026-09-14 00:00 */
const START = 20_710 * 1440;
const hours = (count: number): number => START + count * 60;

const falling = (name: string, from: number, rate: number): CurveSeries => ({
  name,
  points: Array.from({ length: 9 }, (_, day) => ({
    minute: hours(day * 24 + 7),
    value: Number(Math.max(-1.2, from - rate * Math.max(0, day - 1)).toFixed(1)),
  })),
});

const curve = (vessels: number): FermentCurve => ({
  title: 'The ferment of LS',
  unit: '°Bx',
  sugar: Array.from({ length: vessels }, (_, index) => falling(`B${index + 1}`, 24 + index * 0.1, 3 + index * 0.1)),
  temperatureUnit: '°C',
  temperature: [
    {
      name: 'B1',
      points: [16, 18, 22, 26, 29, 27, 24, 22, 20].map((value, day) => ({ minute: hours(day * 24 + 7), value })),
    },
  ],
  strips: [
    { name: 'Inoculations', shape: 'triangle', marks: [{ minute: hours(33), label: '15 Sep 09:00: <ey-7>' }] },
    {
      name: 'Punch-downs',
      shape: 'stroke',
      marks: [8, 13, 18].map((hour) => ({ minute: hours(24 + hour), label: 'B1' })),
    },
  ],
});

describe('the ferment curve', () => {
  test('names each line at its end while there are few', () => {
    const svg = fermentCurve(curve(3), { id: 'f', width: 720 });
    expectGoodSvg(svg);
    expectDrawing('ferment-few', svg);
    expect(svg.match(/class="name s[123]"/gu)?.length).toBe(4);
  });

  test('draws many vessels thin about their median and names the outermost', () => {
    const svg = fermentCurve(curve(15), { id: 'f', width: 720 });
    expectGoodSvg(svg);
    expectDrawing('ferment-many', svg);
    expect(svg.match(/class="thin"/gu)?.length).toBe(15);
    expect(svg).toContain('>median<');
  });

  test('draws the span of very many as a band', () => {
    const svg = fermentCurve(curve(60), { id: 'f', width: 720 });
    expectGoodSvg(svg);
    expect(svg).not.toContain('class="thin"');
    expect(svg.match(/class="band"/gu)?.length).toBe(1);
  });

  test('fits a phone', () => {
    const svg = fermentCurve(curve(4), { id: 'f', width: 328 });
    expectGoodSvg(svg);
    expectDrawing('ferment-phone', svg);
  });

  test('marks have their words escaped, and no reading at all makes no fault', () => {
    expect(fermentCurve(curve(1), { id: 'f', width: 720 })).toContain('&lt;ey-7&gt;');
    expectGoodSvg(fermentCurve({ ...curve(0), temperature: [], strips: [] }, { id: 'f', width: 328 }));
  });
});

test('volume steps are dashed where they are estimated and last until the day told of', () => {
  const svg = volumeSteps(
    {
      title: 'Volume of LS over time',
      unit: 'L',
      points: [
        { minute: hours(8), volume: 1340, estimated: true },
        { minute: hours(13 * 24), volume: 800, estimated: false },
        { minute: hours(14 * 24), volume: 780, estimated: false },
      ],
      until: hours(20 * 24),
    },
    { id: 's', width: 520 },
  );
  expectGoodSvg(svg);
  expectDrawing('volume-steps', svg);
  expect(svg).toContain('class="step estimated"');
  expectGoodSvg(volumeSteps({ title: 'Nothing yet', unit: 'L', points: [], until: START }, { id: 's', width: 328 }));
});

describe('the waterfall', () => {
  const rows: VolumeWaterfall = {
    title: 'Where the volume of LS came from and went',
    unit: 'L',
    rows: [
      { label: 'made from fruit', kind: 'in', value: 1340, text: '+1340 L' },
      { label: 'lees', kind: 'out', value: -20, text: '−20 L' },
      { label: 'went to other lots', kind: 'out', value: -800, text: '−800 L' },
      { label: 'on hand', kind: 'level', value: 520, text: '~520 L' },
    ],
  };

  test('each bar begins where the one above ends', () => {
    const svg = volumeWaterfall(rows, { id: 'w', width: 520 });
    expectGoodSvg(svg);
    expectDrawing('volume-waterfall', svg);
    const bars = [...svg.matchAll(/class="bar \w+" x="([0-9.]+)" y="[0-9.]+" width="([0-9.]+)"/gu)].map((match) => [
      Number(match[1]),
      Number(match[1]) + Number(match[2]),
    ]);
    expect(bars.length).toBe(4);
    expect(bars[0]?.[1]).toBeCloseTo(519, 0);
    expect(bars[1]?.[0]).toBeCloseTo(bars[2]?.[1] ?? 0, 0);
    expect(bars[2]?.[0]).toBeCloseTo(bars[3]?.[1] ?? 0, 0);
  });

  test('nothing at all is drawn without a fault', () => {
    expectGoodSvg(
      volumeWaterfall(
        { title: 'Empty', unit: 'L', rows: [{ label: 'on hand', kind: 'level', value: 0, text: '0 L' }] },
        { id: 'w', width: 328 },
      ),
    );
  });
});

test('a composition bar letters its parts, and names those with room', () => {
  const svg = compositionBar(
    {
      title: 'What LS-blend is made of',
      parts: [
        { letter: 'A', label: 'Syrah ledge-2', share: 0.75, text: '75 %' },
        { letter: 'B', label: 'Grenache ledge-5', share: 0.24, text: '24 %' },
        { letter: 'C', label: 'Mourvèdre lower-3', share: 0.01, text: '1 %' },
      ],
    },
    { id: 'c', width: 328 },
  );
  expectGoodSvg(svg);
  expectDrawing('composition', svg);
  expect(svg).toContain('>A  Syrah ledge-2<');
  expect(svg).toContain('>B<');
});

describe('the gauge', () => {
  const vessel = (kind: string, share: number): Fullness => ({
    kind,
    share,
    text: `T1 ${Math.round(share * 100)} % full`,
    tint: 'red',
    fermenting: false,
    estimated: false,
  });
  const surface = (svg: string): number => Number(/class="surface[^"]*" d="M[0-9.]+,([0-9.]+)H/u.exec(svg)?.[1]);

  test('a tank fills by its height', () => {
    // 38 pixels high, floor at 39.
    expect(surface(fullness(vessel('tank', 0.5)))).toBe(20);
  });

  test('a cask on its side fills by the segment of its head', () => {
    // Half full at half its height; a tenth of a circle's area lies below 15.65 % of its diameter (geometry).
    expect(surface(fullness(vessel('barrel', 0.5)))).toBe(22);
    expect(surface(fullness(vessel('barrel', 0.1)))).toBeCloseTo(39 - 34 * 0.1565, 0);
  });

  test('every kind is drawn at every level without a fault', () => {
    for (const kind of [
      'bin',
      'tank',
      'barrel',
      'puncheon',
      'foudre',
      'keg',
      'carboy',
      'egg',
      'amphora',
      'drum',
      'flexitank',
      'press-pan',
      'tub',
    ]) {
      for (const share of [0, 0.001, 0.3, 0.999, 1, 1.02]) {
        const svg = fullness({ ...vessel(kind, share), fermenting: true, estimated: true });
        expect(svg).not.toMatch(/NaN|Infinity|undefined/u);
        expect(svg.includes('class="wine')).toBe(share > 0);
      }
    }
  });

  test('looks as it did', () => {
    expectDrawing(
      'gauges',
      ['tank', 'barrel', 'egg', 'amphora', 'carboy']
        .map((kind) => fullness({ ...vessel(kind, 0.62), fermenting: true }))
        .join('\n'),
    );
  });
});

describe('axes', () => {
  test('days are ticked by as much as there is room for', () => {
    const labels = (days: number, width: number): string[] =>
      dateTicks(START, START + days * 1440, width).map(({ label }) => label);
    expect(labels(3, 600)).toEqual(['14 Sep', '15 Sep', '16 Sep', '17 Sep']);
    expect(labels(14, 300)).toEqual(['14 Sep', '17 Sep', '20 Sep', '23 Sep', '26 Sep']);
    expect(labels(400, 600)[0]).toBe('Nov 2026');
    expect(labels(400, 600)).toContain('Jan 2027');
    expect(labels(4000, 300).length).toBeGreaterThan(1);
  });

  test('numbers have the decimals their step needs', () => {
    expect(numberTicks(linear([1, 1.1], [0, 100]), 4).map(({ label }) => label)).toEqual([
      '1.00',
      '1.02',
      '1.04',
      '1.06',
      '1.08',
      '1.10',
    ]);
    expect(numberTicks(niceLinear(-1.3, 24, [0, 100], 5), 5).map(({ label }) => label)).toEqual([
      '−5',
      '0',
      '5',
      '10',
      '15',
      '20',
      '25',
    ]);
    expect(niceLinear(7, 7, [0, 100], 5).domain()).not.toEqual([7, 7]);
  });

  test('labels that would overlap are moved apart in their order, within the panel', () => {
    expect(spread([10, 12, 50], 13, 0, 100)).toEqual([10, 23, 50]);
    expect(spread([98, 99, 100], 13, 0, 100)).toEqual([74, 87, 100]);
  });
});
