// Sends with the npm library "e131" and writes down what was asked for.
// Usage: node send_e131.js PORT asked.json (with e131 installed elsewhere, see README.md)
const e131 = require('e131');
const fs = require('fs');
const [port, out] = [Number(process.argv[2]), process.argv[3]];
const wait = (ms) => new Promise((done) => setTimeout(done, ms));

const plans = [
  // 270 packets, so that the sequence number passes 255
  { universe: 7, priority: 100, name: 'pennant', cid: '00112233445566778899aabbccddeeff', count: 24, packets: 270, options: 0 },
  { universe: 256, priority: 200, name: 'Boje \u00e4\u00f6\u00fc', cid: 'ffeeddccbbaa49988877665544332211', count: 512, packets: 3, options: 0x80 },
  { universe: 300, priority: 0, name: 'one slot', cid: '0123456789ab4def8123456789abcdef', count: 1, packets: 3, options: 0 },
  { universe: 7, priority: 100, name: 'pennant', cid: '00112233445566778899aabbccddeeff', count: 24, packets: 3, options: 0x40, from: 270 },
];

async function main() {
  const asked = [];
  const client = new e131.Client('127.0.0.1', port);
  for (const p of plans) {
    const packet = client.createPacket(p.count);
    packet.setCID(Buffer.from(p.cid, 'hex'));
    packet.setSourceName(p.name);
    packet.setUniverse(p.universe);
    packet.setPriority(p.priority);
    packet.setOption(packet.Options.PREVIEW, (p.options & 0x80) !== 0);
    packet.setOption(packet.Options.TERMINATED, (p.options & 0x40) !== 0);
    packet.setSequenceNumber((p.from || 0) % 256);
    const slots = packet.getSlotsData();
    for (let i = 0; i < p.packets; i++) {
      for (let s = 0; s < p.count; s++) slots[s] = (s * 5 + i * 11 + 1) % 256;
      asked.push({ universe: p.universe, priority: p.priority, name: p.name, cid: p.cid,
        sequence: (i + (p.from || 0)) % 256, options: p.options, slots: Buffer.from(slots).toString('hex') });
      await new Promise((done) => client.send(packet, done));
      await wait(23);
    }
  }
  client._socket.close();
  fs.writeFileSync(out, JSON.stringify(asked, null, 0).replaceAll('},{', '},\n{') + '\n');
}
main();
