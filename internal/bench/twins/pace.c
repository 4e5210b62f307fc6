/* The least that a program does to send E1.31 data at 44 Hz: a timerfd, and
   sendmmsg in batches of 64. Usage: pace PORT UNIVERSES */
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/timerfd.h>
#include <unistd.h>

enum { SIZE = 126 + 510, BATCH = 64, PERIOD_NS = 22728000 };

int main(int argc, char **argv)
{
	if (argc != 3)
		return 2;
	int n = atoi(argv[2]), fd = socket(AF_INET, SOCK_DGRAM, 0);
	struct sockaddr_in to = { .sin_family = AF_INET, .sin_port = htons(atoi(argv[1])), .sin_addr.s_addr = htonl(INADDR_LOOPBACK) };
	if (n < 1 || fd < 0 || connect(fd, (struct sockaddr *)&to, sizeof to) != 0)
		return 1;
	unsigned char *packets = calloc(n, SIZE);
	struct mmsghdr *messages = calloc(n, sizeof *messages);
	struct iovec *parts = calloc(n, sizeof *parts);
	for (int i = 0; i < n; i++) {
		unsigned char *p = packets + (size_t)i * SIZE;
		p[113] = (i + 1) >> 8;
		p[114] = i + 1;
		parts[i] = (struct iovec){ p, SIZE };
		messages[i].msg_hdr.msg_iov = &parts[i];
		messages[i].msg_hdr.msg_iovlen = 1;
	}
	int timer = timerfd_create(CLOCK_MONOTONIC, 0);
	struct itimerspec every = { { 0, PERIOD_NS }, { 0, PERIOD_NS } };
	timerfd_settime(timer, 0, &every, NULL);
	for (uint64_t beats; read(timer, &beats, sizeof beats) == sizeof beats;) {
		for (int i = 0; i < n; i++)
			packets[(size_t)i * SIZE + 111]++;
		for (int at = 0; at < n;) {
			int sent = sendmmsg(fd, messages + at, n - at < BATCH ? n - at : BATCH, 0);
			if (sent < 0)
				return 1;
			at += sent;
		}
	}
	return 0;
}
