#!/bin/sh
# Records one library: record.sh sacn|e131 FOLDER, where FOLDER has the library in node_modules.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
port=$(python3 -c 'import socket; s = socket.socket(socket.AF_INET, socket.SOCK_DGRAM); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
dumpcap -q -P -i lo -f "udp dst port $port" -w "$here/$1.pcap" &
pid=$!
sleep 1
NODE_PATH="$2/node_modules" node "$here/send_$1.js" "$port" "$here/$1.asked.json"
sleep 1
kill -INT $pid
wait $pid || true
chmod 644 "$here/$1.pcap"
