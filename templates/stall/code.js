// A QR code of some text: bytes, level M, versions 1 to 15 (ISO/IEC 18004:2015, tables 1, 9, E.1).
const CHECKS = [10, 16, 26, 18, 24, 16, 18, 22, 22, 26, 30, 22, 22, 24, 24]; // codewords a block
const BLOCKS = [1, 1, 1, 2, 2, 4, 4, 4, 5, 5, 5, 8, 9, 9, 10];
const POWERS = [], LOGS = [];
for (let turn = 0, value = 1; turn < 255; turn++) {
  POWERS[turn] = POWERS[turn + 255] = value;
  LOGS[value] = turn;
  value = value << 1 ^ (value > 127 ? 0x11d : 0);
}
const times = (one, other) => one && other ? POWERS[LOGS[one] + LOGS[other]] : 0;

function capacity(version) {
  const count = Math.floor(version / 7) + 2;
  let modules = (16 * version + 128) * version + 64;
  if (version > 1) modules -= (25 * count - 10) * count - 55 + (version > 6 ? 36 : 0);
  return Math.floor(modules / 8);
}
const room = version => capacity(version) - CHECKS[version - 1] * BLOCKS[version - 1];

function checksOf(data, count) {
  let divisor = [1];
  for (let root = 0; root < count; root++) {
    const next = [...divisor, 0];
    divisor.forEach((each, place) => { next[place + 1] ^= times(each, POWERS[root]); });
    divisor = next;
  }
  const rest = [...data, ...Array(count).fill(0)];
  data.forEach((_, place) => {
    const lead = rest[place];
    divisor.forEach((each, step) => { rest[place + step] ^= times(each, lead); });
  });
  return rest.slice(data.length);
}
function codewords(bytes, version) {
  const bits = [];
  const put = (value, length) => { for (let at = length - 1; at >= 0; at--) bits.push(value >> at & 1); };
  put(4, 4);
  put(bytes.length, version < 10 ? 8 : 16);
  bytes.forEach(each => put(each, 8));
  put(0, Math.min(4, room(version) * 8 - bits.length));
  put(0, (8 - bits.length % 8) % 8);
  for (let pad = 0xec; bits.length < room(version) * 8; pad ^= 0xec ^ 0x11) put(pad, 8);
  const data = Array.from({length: bits.length / 8}, (_, at) => parseInt(bits.slice(at * 8, at * 8 + 8).join(""), 2));
  const count = BLOCKS[version - 1], short = Math.floor(data.length / count), long = data.length % count;
  const blocks = [];
  for (let turn = 0, at = 0; turn < count; turn++) {
    const size = short + (turn < count - long ? 0 : 1);
    blocks.push(data.slice(at, at += size));
  }
  const checks = blocks.map(block => checksOf(block, CHECKS[version - 1]));
  const across = rows => Array.from({length: Math.max(...rows.map(row => row.length))}, (_, at) =>
    rows.map(row => row[at])).flat().filter(each => each !== undefined);
  return [...across(blocks), ...across(checks)];
}
function remainder(value, length, divisor) {
  for (let at = 0; at < length; at++) value = value << 1 ^ (value >> length - 1 & 1) * divisor;
  return value;
}
// The modules of the code, row by row: true is dark.
function codeOf(text) {
  const bytes = [...new TextEncoder().encode(text)];
  let version = 1;
  while (version < 16 && bytes.length + (version < 10 ? 2 : 3) > room(version)) version++;
  if (version > 15) throw new RangeError("too long for one code");
  const side = version * 4 + 17;
  const dark = Array.from({length: side}, () => Array(side).fill(false));
  const fixed = Array.from({length: side}, () => Array(side).fill(false));
  const set = (x, y, is) => { if (dark[y]?.[x] !== undefined) { dark[y][x] = Boolean(is); fixed[y][x] = true; } };
  for (let at = 0; at < side; at++) { set(6, at, at % 2 === 0); set(at, 6, at % 2 === 0); }
  for (const [cx, cy] of [[3, 3], [side - 4, 3], [3, side - 4]])
    for (let dy = -4; dy <= 4; dy++) for (let dx = -4; dx <= 4; dx++) {
      const far = Math.max(Math.abs(dx), Math.abs(dy));
      set(cx + dx, cy + dy, far !== 2 && far !== 4);
    }
  const count = version > 1 ? Math.floor(version / 7) + 2 : 0, places = count ? [6] : [];
  const step = Math.ceil((version * 4 + 4) / (2 * count - 2)) * 2;
  for (let at = side - 7; places.length < count; at -= step) places.splice(1, 0, at);
  places.forEach((cy, row) => places.forEach((cx, column) => {
    const last = count - 1;
    if (row === 0 && (column === 0 || column === last) || row === last && column === 0) return;
    for (let dy = -2; dy <= 2; dy++) for (let dx = -2; dx <= 2; dx++)
      set(cx + dx, cy + dy, Math.max(Math.abs(dx), Math.abs(dy)) !== 1);
  }));
  const format = mask => {
    const bits = (mask << 10 | remainder(mask, 10, 0x537)) ^ 0x5412, bit = at => bits >> at & 1;
    for (let at = 0; at < 6; at++) set(8, at, bit(at));
    set(8, 7, bit(6)); set(8, 8, bit(7)); set(7, 8, bit(8));
    for (let at = 9; at < 15; at++) set(14 - at, 8, bit(at));
    for (let at = 0; at < 8; at++) set(side - 1 - at, 8, bit(at));
    for (let at = 8; at < 15; at++) set(8, side - 15 + at, bit(at));
    set(8, side - 8, true);
  };
  format(0);
  if (version > 6) {
    const bits = version << 12 | remainder(version, 12, 0x1f25);
    for (let at = 0; at < 18; at++) {
      const far = side - 11 + at % 3, near = Math.floor(at / 3);
      set(far, near, bits >> at & 1);
      set(near, far, bits >> at & 1);
    }
  }
  const words = codewords(bytes, version);
  let turn = 0;
  for (let right = side - 1; right > 0; right -= 2) {
    if (right === 6) right = 5;
    for (let row = 0; row < side; row++) for (const x of [right, right - 1]) {
      const y = (right + 1 & 2) === 0 ? side - 1 - row : row;
      if (!fixed[y][x] && turn < words.length * 8) { dark[y][x] = Boolean(words[turn >> 3] >> 7 - (turn & 7) & 1); turn++; }
    }
  }
  const masks = [(x, y) => (x + y) % 2, (x, y) => y % 2, x => x % 3, (x, y) => (x + y) % 3,
    (x, y) => (Math.floor(x / 3) + Math.floor(y / 2)) % 2, (x, y) => x * y % 2 + x * y % 3,
    (x, y) => (x * y % 2 + x * y % 3) % 2, (x, y) => ((x + y) % 2 + x * y % 3) % 2];
  const masked = mask => dark.map((row, y) => row.map((is, x) => fixed[y][x] ? is : is !== (masks[mask](x, y) === 0)));
  let best = null, least = Infinity;
  for (let mask = 0; mask < 8; mask++) {
    format(mask);
    const made = masked(mask), flaws = flawsOf(made);
    if (flaws < least) [best, least] = [made, flaws];
  }
  return best;
}
// How hard it is to read: long runs, squares of one colour, too much of one colour.
function flawsOf(rows) {
  const turned = rows.map((_, x) => rows.map(row => row[x]));
  let flaws = 0;
  for (const row of [...rows, ...turned])
    for (const run of row.map(Number).join("").match(/0{5,}|1{5,}/g) || []) flaws += run.length - 2;
  for (let y = 1; y < rows.length; y++) for (let x = 1; x < rows.length; x++)
    if (rows[y][x] === rows[y - 1][x] && rows[y][x] === rows[y][x - 1] && rows[y][x] === rows[y - 1][x - 1]) flaws += 3;
  const share = rows.flat().filter(Boolean).length / rows.length ** 2;
  return flaws + Math.floor(Math.abs(share - 0.5) * 20) * 10;
}
