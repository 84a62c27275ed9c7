"use strict";
// What goes home: plain lines, each with two signs at its end that notice a slip of the hand.
// `provenance sell --from` reads them and reckons the signs again (deeds/stall_lines.py).
const SIGNS = "23456789abcdefghjkmnpqrstuvwxyz"; // 31, none that is taken for another
function signed(line) {
  const plain = line.normalize("NFC").toLowerCase();
  let sum = 0;
  for (const sign of plain) sum = (sum * 37 + sign.codePointAt(0)) % 953;
  return `${plain} #${SIGNS[Math.floor(sum / 31)]}${SIGNS[sum % 31]}`;
}
const MOST = 400; // bytes in one code: modules large enough on a small phone

// The log as lines: what is sold, alike ones together; what is still reserved; what the records had
// reserved and is no more; nothing that was taken back.
function linesOf(log, decimals, pieces) {
  const found = [], kept = new Map(), sold = new Set(), sales = new Map();
  for (const each of log.filter(one => !one.back)) {
    if (each.did === "sold") {
      const alike = [each.number, each.price, each.way, each.day].join(" "), sale = sales.get(alike);
      if (sale) sale.items += each.items;
      else sales.set(alike, {...each});
      sold.add(each.number);
    } else kept.set(each.number, each);
  }
  for (const each of sales.values()) {
    const price = (each.price / 10 ** decimals).toFixed(each.price % 10 ** decimals ? decimals : 0);
    const items = each.items > 1 ? `${each.items} x ` : "";
    found.push(signed(`${each.number} sold ${items}${price} ${each.way} ${each.day}`));
  }
  for (const [number, each] of kept) {
    if (sold.has(number)) continue;
    if (each.did === "reserved") found.push(signed([number, "reserved", each.until].filter(Boolean).join(" ")));
    else if ((pieces.get(number)?.until ?? null) !== null) found.push(signed(`${number} freed`));
  }
  return found;
}
// The lines in portions that fit a code, each begun by the name of the stall.
function portions(head, lines) {
  const bytes = text => new TextEncoder().encode(text).length;
  const found = [];
  for (const line of lines) {
    const last = found.at(-1);
    if (last && bytes(`${last}\n${line}`) <= MOST) found[found.length - 1] += `\n${line}`;
    else found.push(`${head}\n${line}`);
  }
  return found;
}
