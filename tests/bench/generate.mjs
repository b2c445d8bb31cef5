/** Writes journals of any length as a winery of some three hundred tonnes would: every litre goes somewhere, so that they check clean. */

/** A small seeded generator of random numbers (mulberry32): the same seed gives the same journal everywhere. */
export function randomFrom(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

const FIRST_VINTAGE = 2026;
const RED_LOTS = 24;
const WHITE_LOTS = 9;
const BINS_A_LOT = 5;
const BARRELS_A_LOT = 9;
const KEG_LITRES = 50;
const WEEKDAYS = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];
const HANDS = ['ada', 'ben', 'cleo', 'dov', 'edda', 'finn'];
const REDS = ['Syrah', 'Grenache', 'Mourvèdre', 'Merlot', 'Tempranillo', 'Barbera'];
const WHITES = ['Roussanne', 'Chardonnay', 'Riesling'];

const REMARKS = [
  'float broke, read with the spare',
  'smells of quince',
  'cap a hand high',
  'read after punching',
  'cold, the mat had slipped off',
  'first fizz',
  'foam through the bung',
  'struck match, blew off',
  'a little late',
];
const DAY_NOTES = [
  'Clear, 9 C at dawn. Eleven pickers.',
  'Warm wind from the south; doors open till ten.',
  'Fog until noon. **Fan on before anybody goes in.**',
  'Quiet. Hoses mended, drains cleared.',
  'Rain on the roof all day, nobody picked.',
];
const ENTRY_NOTES = [
  'The belt came off the roller twice. Mended with the handle of a spoon.',
  'Deep already; it will want time.',
  '- clear by eye\n- no smell of note\n- tasted by three',
  'Hose clamp on the suction side was finger tight.',
];

/** Lines below another that are a part of it, and no rows of their own. */
const BELOW = /^(?:cut|choose) /;

const dayNumber = (year, month, day) => Date.UTC(year, month - 1, day) / 86_400_000;
const pad = (number, width = 2) => String(number).padStart(width, '0');
const dateOf = (day) => new Date(day * 86_400_000).toISOString().slice(0, 10);
const clock = (minute) => `${pad(Math.floor(minute / 60))}:${pad(minute % 60)}`;
const bin = (n) => `B${pad(n, 3)}`;
const barrel = (n) => `FB-${pad(n, 3)}`;
const range = (name, from, to) => (from === to ? name(from) : `${name(from)}..${name(to)}`);
const litres = (value) => String(Math.round(value * 10) / 10);

/** The standing facts of the cellar. */
function standing() {
  const lines = [
    '# The standing facts. What happens is in a file a month; the morning rounds have files of their own.',
    '',
    'cellar     "Alder Weir"  region "Lower Teal"',
    'report     litres, celsius, kilograms',
    'law        eu',
    'method     brix hydrometer, malic enzymatic',
    '',
    'vessel  B001..B130   bin     1000 L  plastic, at "crush pad"',
    'vessel  T1..T60      tank    2600 L  steel, at "tank room"',
    'vessel  S1..S30      tank     320 L  steel, at "tank room"',
    'vessel  V1..V20      tank    5200 L  steel, at "tank room"',
    'vessel  FB-001..FB-240  barrel  225 L  wood french, cooper "first", toast medium, first used 2024, at "barrel room"',
    `vessel  K1..K99      keg       ${KEG_LITRES} L`,
    '',
  ];
  for (let i = 1; i <= RED_LOTS; i++) {
    lines.push(
      `block  slope-${i}   ${REDS[i % REDS.length]}   region "Lower Teal"   ${litres(1 + (i % 4) / 10)} ha, estate`,
    );
  }
  for (let i = 1; i <= WHITE_LOTS; i++) {
    lines.push(
      `block  shade-${i}   ${WHITES[i % WHITES.length]}   region "Upper Teal"   0.9 ha, grower "contract ${i}"`,
    );
  }
  lines.push(
    '',
    `hand  ${HANDS.join(', ')}`,
    '',
    'material  kms       is potassium metabisulfite',
    'material  ey-7      yeast',
    'material  ey-3      yeast',
    'material  mlb-1     bacteria',
    'material  nutri-a   nutrient, nitrogen 10 %',
    'material  pec       enzyme',
    'material  egg       fining agent, allergen egg',
    'material  soda      cleaner',
    '',
  );
  return `${lines.join('\n')}\n`;
}

/** The days of one vintage, harvest to bottling: day number to entries of `{ minute, rounds, lines, text }`. */
class Vintage {
  constructor(year, random, stock) {
    this.year = year;
    this.random = random;
    this.stock = stock;
    this.days = new Map();
    this.minutes = new Map();
    /** Vessels whose ferment is read, by day: name, sugar, temperature. */
    this.fermenting = new Map();
    /** Barrels and kegs with wine, by day filled and day emptied. */
    this.ageing = [];
    for (let i = 1; i <= RED_LOTS; i++) this.red(i);
    for (let i = 1; i <= WHITE_LOTS; i++) this.white(i);
    this.blends();
    this.rounds();
    this.barrelWalk();
    this.sales();
    this.notes();
  }

  between(low, high) {
    return low + (high - low) * this.random();
  }
  whole(low, high) {
    return Math.floor(this.between(low, high + 1));
  }
  of(list) {
    return list[Math.floor(this.random() * list.length)];
  }
  by() {
    return `by ${this.of(HANDS)}`;
  }

  /** Puts an entry into a day; no two movements of a day share a minute. */
  put(day, minute, text, rows = [], rounds = false) {
    let entries = this.days.get(day);
    if (entries === undefined) {
      entries = [];
      this.days.set(day, entries);
      this.minutes.set(day, new Set());
    }
    const taken = this.minutes.get(day);
    let free = minute;
    while (taken.has(free)) free++;
    taken.add(free);
    const chance = this.random();
    const remark = rows.length === 0 && chance < 0.06 ? ` -- ${this.of(REMARKS)}` : '';
    const note = chance > 0.97 ? this.of(ENTRY_NOTES).split('\n') : [];
    entries.push({ minute: free, rounds, text: text + remark, rows, note });
  }

  /** Tells that a vessel ferments on a day; a fresh one was filled after the morning round. */
  ferments(day, name, brix, temp, fresh = false) {
    const known = this.fermenting.get(day);
    const one = { name, brix, temp, fresh };
    if (known === undefined) this.fermenting.set(day, [one]);
    else known.push(one);
  }

  red(i) {
    const lot = `RED${this.year}-${pad(i)}`;
    const block = `slope-${i}`;
    // the lots come in two waves, so that bins and tanks are free again for the second
    const start = dayNumber(this.year, 9, 2) + (i <= RED_LOTS / 2 ? i : i + 11);
    const firstBin = ((i - 1) % (RED_LOTS / 2)) * BINS_A_LOT + 1;
    const bins = range(bin, firstBin, firstBin + BINS_A_LOT - 1);
    const tank = `T${i}`;
    const gross = [this.whole(2050, 2150), this.whole(2050, 2150)];
    const tare = [this.whole(280, 300), this.whole(280, 300)];
    const net = gross[0] + gross[1] - tare[0] - tare[1];
    const sorted = this.whole(18, 40);
    const stems = Math.round((net - sorted) * 0.05);
    const must = Math.round((net - sorted - stems) / 1.08 / BINS_A_LOT);
    const sugar = this.between(22.5, 25.5);
    for (const load of [0, 1]) {
      this.put(
        start,
        410 + load * 60,
        `receive ${lot} from ${block}, gross ${gross[load]} kg, tare ${tare[load]} kg, tag ${this.whole(10000, 99999)}, in ${this.whole(4, 7)} bins ${this.by()}`,
      );
    }
    this.put(
      start,
      480,
      `reading ${lot} brix ${sugar.toFixed(1)}, pH ${this.between(3.4, 3.6).toFixed(2)}, TA ${this.between(5, 7).toFixed(1)} g/L using refractometer ${this.by()}`,
    );
    this.put(start, 500, `sort ${lot}, out ${sorted} kg ${this.by()}`);
    this.put(
      start,
      520,
      `crush ${lot} to ${bins} ~${must} L each, destemmed, crushed 30 %, stems ${stems} kg by ada, ben`,
    );
    this.put(start, 600, `add kms 40 mg/L SO2 to ${bins} ${this.by()}`);
    if (this.random() < 0.4) this.put(start, 620, `add pec 2 g/hL to ${lot} ${this.by()}`);
    this.put(start + 1, 560, `chill ${lot} to 14 C`);
    if (this.random() < 0.4)
      this.put(start + 1, 660, `add tartaric ${this.between(0.4, 1).toFixed(1)} g/L to ${lot} ${this.by()}`);
    this.put(start + 2, 590, `inoculate ${lot} with ey-7 25 g/hL ${this.by()}`);
    this.put(start + 3, 610, `add nutri-a 10 g/hL to ${lot} ${this.by()}`);
    this.put(start + 5, 610, `add nutri-a 10 g/hL to ${lot} ${this.by()}`);
    const length = 12;
    for (let day = 0; day < length; day++) {
      const done = Math.max(0, Math.min(1, (day - 3) / 7));
      const brix = sugar - done * (sugar + 1.6);
      const temp = day < 3 ? 14 + day : 17 + 12 * Math.sin(Math.PI * Math.min(1, (day - 2) / 9));
      for (let b = 0; b < BINS_A_LOT; b++) this.ferments(start + day, bin(firstBin + b), brix, temp, day === 0);
      if (day < 2) continue;
      if (this.random() < 0.5) this.put(start + day, 460, `punch-down ${lot} ${this.by()}`);
      else this.put(start + day, 460, `punch-down ${bins} ${this.by()}`);
      this.put(start + day, 770, `punch-down ${lot} ${this.by()}`);
      if (day > 3)
        this.put(
          start + day,
          1100,
          `punch-down ${lot}${this.random() < 0.3 ? ` except ${bin(firstBin + 2)}` : ''} ${this.by()}`,
        );
      if (this.random() < 0.5)
        this.put(
          start + day,
          700,
          `pump-over ${bin(firstBin + this.whole(0, 4))} ${this.whole(2, 6) * 5} min, aerated ${this.by()}`,
        );
      else this.put(start + day, 700, `punch-down ${range(bin, firstBin, firstBin + 1)} 2 times ${this.by()}`);
      if (this.random() < 0.15) this.put(start + day, 720, `chill ${bin(firstBin + this.whole(0, 4))} to 26 C`);
    }
    const end = start + length;
    const held = must * BINS_A_LOT;
    const free = Math.min(2090, Math.round(held * 0.64));
    const first = Math.round(held * 0.075);
    const second = Math.min(KEG_LITRES - 2, Math.round(held * 0.014));
    const pomace = Math.round((held - free - first - second) * 1.05);
    this.put(end, 500, `drain ${lot} to ${tank} ${free} L as ${lot}-free ${this.by()}`);
    this.put(end, 560, `press ${lot}, pomace ${pomace} kg ${this.by()}`, [
      `cut 1.0 bar to S${i} ${first} L as ${lot}-p1`,
      `cut 1.8 bar to K${30 + i} ${second} L as ${lot}-p2`,
    ]);
    this.put(end, 720, `clean ${bins} with soda 2 kg ${this.by()}`);
    this.put(end + 1, 600, `inoculate ${lot}-free with mlb-1 1 g/hL ${this.by()}`);
    this.put(end + 1, 500, `reading ${tank} brix -1.4, temp ${this.between(18, 22).toFixed(1)} C ${this.by()}`);
    const lees = Math.round(free * 0.012);
    const barrels = Math.min(BARRELS_A_LOT, Math.floor((free - lees - 20) / 225));
    const keg = free - lees - barrels * 225;
    const firstBarrel = (i - 1) * BARRELS_A_LOT + 1;
    const into = range(barrel, firstBarrel, firstBarrel + barrels - 1);
    // what is over a keg stays in the tank as heavy lees
    const kegged = Math.min(KEG_LITRES, keg);
    this.put(
      end + 4,
      520,
      `rack ${tank} to ${into} 225 L each, K${i} ${kegged} L, lees ${lees + keg - kegged} L ${this.by()}`,
    );
    this.put(end + 4, 640, `clean ${tank} with soda 700 g ${this.by()}`);
    this.put(
      dayNumber(this.year, 11, 24),
      540,
      `dispatch ${lot}-p2 ${second} L for distilling to "the still across the river"`,
    );
    this.put(dayNumber(this.year, 11, 3) + (i % 5), 600, `add kms 20 mg/L SO2 to S${i} ${this.by()}`);
    let malic = this.between(1.5, 2.2);
    for (let week = 0; week < 5; week++) {
      this.put(
        end + 10 + week * 7,
        620,
        `reading ${lot}-free malic ${malic < 0.1 ? '<0.1' : malic.toFixed(1)} g/L mixed ${this.by()}`,
      );
      malic = Math.max(0.04, malic * 0.45);
    }
    this.put(end + 46, 560, `add kms 60 mg/L SO2 to ${lot}-free ${this.by()}`);
    let left = kegged;
    const emptied = dayNumber(this.year + 1, 6, 7) + i;
    for (let month = 0; month < 8; month++) {
      const day = end + 24 + month * 28;
      const used = Math.round(barrels * this.between(0.25, 0.45) * 10) / 10;
      if (left - used < 1 || day >= emptied) break;
      left = Math.round((left - used) * 10) / 10;
      this.put(day, 540, `top ${into} from K${i} ${litres(used)} L ${this.by()}`);
      if (month % 3 === 1) this.put(day, 700, `dip K${i} ${litres(left)} L ${this.by()}`);
      if (month % 2 === 0)
        this.put(
          day + 1,
          600,
          `taste ${barrel(firstBarrel + this.whole(0, barrels - 1))} -- red fruit on top, a floor under it`,
        );
    }
    for (let b = 0; b < barrels; b++)
      this.ageing.push({ name: barrel(firstBarrel + b), from: end + 4, until: emptied, free: this.between(26, 32) });
    this.put(emptied, 480, `rack ${into}, K${i} to ${tank}, lees ${barrels * 2} L ${this.by()}`);
    this.put(emptied, 640, `clean ${into} with soda 1 kg ${this.by()}`);
    this.reds ??= [];
    this.reds.push({
      lot,
      tank,
      press: `S${i}`,
      pressed: first,
      litres: barrels * 225 + left - barrels * 2,
      ready: emptied,
    });
  }

  white(i) {
    const lot = `WHT${this.year}-${pad(i)}`;
    const start = dayNumber(this.year, 8, 25) + i;
    const tank = `T${30 + i * 2}`;
    const other = `T${31 + i * 2}`;
    const net = this.whole(2900, 3300);
    const juice = Math.round(net * 0.66);
    const pomace = Math.round(net - juice * 1.085);
    const sugar = this.between(20.5, 22.5);
    this.put(
      start,
      420,
      `receive ${lot} from shade-${i}, net ${net} kg, tag ${this.whole(10000, 99999)}, in 9 bins ${this.by()}`,
    );
    this.put(start, 470, `press ${lot} to ${tank} ${juice} L, pomace ${pomace} kg ${this.by()}`);
    this.put(start, 520, `add kms 40 mg/L SO2 to ${tank} ${this.by()}`);
    this.put(start, 560, `chill ${tank} to 8 C`);
    const lees = Math.round(juice * 0.05);
    this.put(start + 2, 480, `rack ${tank} to ${other} ${juice - lees} L, lees ${lees} L ${this.by()}`);
    this.put(start + 2, 540, `clean ${tank} with soda 700 g ${this.by()}`);
    this.put(start + 2, 600, `inoculate ${lot} with ey-3 20 g/hL ${this.by()}`);
    this.put(start + 4, 600, `add nutri-a 15 g/hL to ${lot} ${this.by()}`);
    for (let day = 2; day < 22; day++) {
      const done = Math.max(0, Math.min(1, (day - 4) / 16));
      this.ferments(start + day, other, sugar - done * (sugar + 1.5), 14 + 2 * Math.sin(day / 4), day === 2);
    }
    const wine = juice - lees;
    const gross = Math.round(wine * 0.02);
    this.put(start + 30, 500, `rack ${other} to ${tank} ${wine - gross} L, lees ${gross} L ${this.by()}`);
    this.put(start + 30, 560, `add kms 60 mg/L SO2 to ${lot} ${this.by()}`);
    for (let week = 0; week < 20; week++) {
      if (week % 2 === 0)
        this.put(
          start + 34 + week * 7,
          620,
          `reading ${tank} free SO2 ${this.whole(24, 30)} mg/L, total SO2 ${this.whole(80, 95)} mg/L, pH ${this.between(3.1, 3.3).toFixed(2)} ${this.by()}`,
        );
      else if (week % 4 === 1) this.put(start + 34 + week * 7, 640, `stir ${tank} ${this.by()}`);
      else this.put(start + 34 + week * 7, 640, `dip ${tank} ${wine - gross} L ${this.by()}`);
    }
    const filtered = dayNumber(this.year + 1, 3, 2) + i;
    const loss = 12;
    const litresLeft = wine - gross - loss;
    this.put(
      filtered,
      480,
      `filter ${tank} to ${other} ${litresLeft} L, loss ${loss} L using "pads 1 micron" ${this.by()}`,
    );
    this.bottle(filtered + 12, lot, other, litresLeft, `${String(this.year).slice(2)}WH-${this.year}-${pad(i)}`);
  }

  /** Bottles a tank; what is left of a bottle's worth is lost. */
  bottle(day, lot, tank, held, name) {
    const magnums = 30;
    const bottles = Math.floor((held - 3 - magnums * 1.5) / 0.75);
    const loss = Math.round((held - magnums * 1.5 - bottles * 0.75) * 100) / 100;
    this.put(
      day,
      420,
      `bottle ${tank} to ${bottles} x 750 mL, ${magnums} x 1.5 L as "${name}", loss ${loss} L, closure cork by ada, ben, cleo`,
    );
    this.put(day, 980, `label "${name}" vintage ${this.year}, alcohol 13.5 %`);
    this.put(day, 990, `clean ${tank} with soda 700 g ${this.by()}`);
    this.stock.push({ name, bottles, lot, from: day + 20 });
  }

  blends() {
    const reds = this.reds ?? [];
    for (let i = 0; i + 1 < reds.length; i += 2) {
      const [one, two] = [reds[i], reds[i + 1]];
      const number = i / 2 + 1;
      const name = `CUVEE-${this.year}-${pad(number)}`;
      const day = Math.max(one.ready, two.ready) + 3;
      const into = `V${(number % 10) * 2 + 1}`;
      const other = `V${(number % 10) * 2 + 2}`;
      const total = Math.round(one.litres + two.litres + one.pressed) - 4;
      this.put(day - 1, 840, `trial ${one.tank} as E-${this.year}-${pad(number)}`, [
        'A egg 2 g/hL -- hardly anything',
        'B egg 4 g/hL -- the grip goes',
        'choose B',
      ]);
      this.put(
        day,
        510,
        `blend ${one.tank}, ${two.tank}, ${one.press} to ${into} ${total} L as ${name}, loss 4 L ${this.by()}`,
      );
      this.put(day + 1, 540, `dispatch ${two.press} ${two.pressed} L for vinegar to "barn across the lane"`);
      this.put(day + 1, 560, `fine ${name} with egg 4 g/hL ${this.by()}`);
      const lees = Math.round(total * 0.01);
      this.put(day + 12, 500, `rack ${into} to ${other} ${total - lees} L, lees ${lees} L ${this.by()}`);
      this.put(day + 13, 600, `add kms 20 mg/L SO2 to ${name} ${this.by()}`);
      this.put(
        day + 14,
        620,
        `reading ${name} free SO2 32 mg/L, total SO2 ${this.whole(80, 95)} mg/L, pH ${this.between(3.5, 3.7).toFixed(2)}, alcohol 13.6 %, VA 0.5 g/L ${this.by()}`,
      );
      this.put(
        day + 15,
        480,
        `filter ${other} to ${into} ${total - lees - 14} L, loss 14 L using "pads 1 micron" ${this.by()}`,
      );
      this.bottle(
        day + 17,
        name,
        into,
        total - lees - 14,
        `${String(this.year).slice(2)}RD-${this.year}-${pad(number)}`,
      );
    }
  }

  /** The tables of sugar and temperature, mornings in the rounds, afternoons in the month's own file. */
  rounds() {
    for (const [day, vessels] of this.fermenting) {
      vessels.sort((a, b) => (a.name < b.name ? -1 : 1));
      for (const [minute, part] of [
        [390, 0],
        [1060, 0.4],
      ]) {
        const there = vessels.filter((one) => part > 0 || !one.fresh);
        if (there.length === 0) continue;
        const rows = there.map(({ name, brix, temp }) => {
          const sugar = (Math.max(-1.6, brix - part * 0.9) + this.between(-0.1, 0.1)).toFixed(1);
          const heat = this.random() < 0.02 ? '  -' : (temp + part + this.between(-0.7, 0.7)).toFixed(1);
          const remark = this.random() < 0.04 ? `    -- ${this.of(REMARKS)}` : '';
          return `${name.padEnd(6)}${sugar.padStart(6)}${heat.padStart(7)}${remark}`;
        });
        this.put(day, minute, `readings brix, temp C ${this.by()}`, rows, part === 0);
      }
    }
  }

  /** Every third week somebody walks the barrels with a thief and a pocket meter. */
  barrelWalk() {
    const first = Math.min(...this.ageing.map((one) => one.from));
    const last = Math.max(...this.ageing.map((one) => one.until));
    for (let day = first + 60; day < last; day += 21) {
      const there = this.ageing.filter((one) => one.from < day && one.until > day);
      if (there.length === 0) continue;
      const rows = there.map((one) => {
        one.free = Math.max(12, one.free - this.between(0, 1.5));
        const remark = this.random() < 0.03 ? `    -- ${this.of(REMARKS)}` : '';
        return `${one.name}  ${one.free.toFixed(0).padStart(4)}  ${(one.free * 2.6).toFixed(0).padStart(4)}  ${this.between(3.5, 3.7).toFixed(2)}${remark}`;
      });
      this.put(day, 560, `readings free SO2 mg/L, total SO2 mg/L, pH ${this.by()}`, rows);
    }
  }

  /** Bottles go out through the year, cases at a time. */
  sales() {
    for (let day = dayNumber(this.year, 8, 24); day < dayNumber(this.year + 1, 8, 20); day++) {
      const ready = this.stock.filter((one) => one.from < day && one.bottles > 240);
      if (ready.length === 0) continue;
      for (let n = 0; n < 2; n++) {
        const one = this.of(ready);
        const bottles = this.whole(1, 10) * 12;
        if (bottles > one.bottles) continue;
        one.bottles -= bottles;
        const why = this.random() < 0.9 ? 'sale to "shop on the quay"' : 'tasting';
        this.put(day, 900 + n * 30, `dispatch "${one.name}" ${bottles} x 750 mL for ${why}`);
      }
    }
  }

  notes() {
    for (const [day, entries] of this.days) {
      entries.sort((a, b) => a.minute - b.minute);
      if (day % 3 === 0) entries.dayNote = this.of(DAY_NOTES);
    }
  }
}

/** The text of one day in one file. */
function dayText(day, entries, note) {
  const lines = [`${dateOf(day)} ${WEEKDAYS[(day + 4) % 7]}`];
  if (note !== undefined) lines.push(`    | ${note}`);
  for (const entry of entries) {
    lines.push(`${clock(entry.minute)} ${entry.text}`);
    for (const row of entry.rows) lines.push(`      ${row}`);
    for (const line of entry.note) lines.push(`      | ${line}`);
  }
  return `${lines.join('\n')}\n\n`;
}

/**
 * A journal of at least so many lines of entries and rows, cut at the end of a day.
 * Files are `{ path, text }`: the standing facts, and a file or two a month.
 */
export function generateJournal(lines, seed = 1) {
  const random = randomFrom(seed);
  const months = new Map();
  const stock = [];
  let counted = 0;
  for (let year = FIRST_VINTAGE; counted < lines; year++) {
    const vintage = new Vintage(year, random, stock);
    for (const day of [...vintage.days.keys()].sort((a, b) => a - b)) {
      if (counted >= lines) break;
      const entries = vintage.days.get(day);
      const month = dateOf(day).slice(0, 7);
      for (const rounds of [false, true]) {
        const own = entries.filter((entry) => entry.rounds === rounds);
        if (own.length === 0) continue;
        const path = `${month.slice(0, 4)}/${month.slice(5)}${rounds ? '-rounds' : ''}.cellar`;
        const known = months.get(path);
        const text = dayText(day, own, rounds ? undefined : entries.dayNote);
        if (known === undefined) months.set(path, [text]);
        else known.push(text);
        for (const entry of own) counted += 1 + entry.rows.filter((row) => !BELOW.test(row)).length;
      }
    }
    for (let i = stock.length - 1; i >= 0; i--) if (stock[i].bottles <= 240) stock.splice(i, 1);
  }
  const files = [{ path: 'cellar.cellar', text: standing() }];
  for (const [path, texts] of [...months].sort((a, b) => (a[0] < b[0] ? -1 : 1)))
    files.push({ path, text: texts.join('') });
  return { files, lines: counted };
}
