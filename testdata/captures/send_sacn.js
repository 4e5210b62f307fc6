// Sends with the npm library "sacn" and writes down what was asked for.
// Usage: node send_sacn.js PORT asked.json (with sacn installed elsewhere, see README.md)
const { Sender } = require('sacn');
const fs = require('fs');
const [port, out] = [Number(process.argv[2]), process.argv[3]];
const wait = (ms) => new Promise((done) => setTimeout(done, ms));

const plans = [
  { universe: 1, priority: 150, name: 'harbour lantern', cid: '00112233445566778899aabbccddeeff' },
  { universe: 63999, priority: 1, name: 'b', cid: 'ffeeddccbbaa49988877665544332211' },
];

async function main() {
  const asked = [];
  const senders = plans.map((p) => new Sender({
    universe: p.universe, port, useUnicastDestination: '127.0.0.1',
    defaultPacketOptions: { sourceName: p.name, priority: p.priority, cid: Buffer.from(p.cid, 'hex'), useRawDmxValues: true },
  }));
  for (let i = 0; i < 12; i++) {
    for (let k = 0; k < plans.length; k++) {
      const slots = Buffer.alloc(512);
      const payload = {};
      for (let s = 1; s <= 512; s++) {
        const value = k === 0 ? (s * 7 + i * 31) % 256 : (s === i + 1 || s === 512 ? 255 : 0);
        if (value > 0) payload[s] = value;
        slots[s - 1] = value;
      }
      await senders[k].send({ payload });
      asked.push({ ...plans[k], sequence: i, options: 0, slots: slots.toString('hex') });
    }
    await wait(23);
  }
  senders.forEach((s) => s.close());
  fs.writeFileSync(out, JSON.stringify(asked, null, 0).replaceAll('},{', '},\n{') + '\n');
}
main();
