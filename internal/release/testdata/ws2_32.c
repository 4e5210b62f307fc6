/* WSAIoctl for a Wine that does not know SIO_UDP_NETRESET (10.0 and before): Go's
   net package sets it on every UDP socket, and Wine has nothing to reset. All
   else goes to Wine's own library, which stands beside as ws2_real.dll. */
#include <windows.h>

#define SIO_UDP_NETRESET 0x9800000F

typedef int(WINAPI *ioctl)(UINT_PTR, DWORD, void *, DWORD, void *, DWORD, DWORD *, void *, void *);

__declspec(dllexport) int WINAPI WSAIoctl(UINT_PTR s, DWORD code, void *in, DWORD in_size, void *out,
	DWORD out_size, DWORD *returned, void *overlapped, void *routine)
{
	static ioctl real;
	if (code == SIO_UDP_NETRESET) {
		if (returned)
			*returned = 0;
		return 0;
	}
	if (!real)
		real = (ioctl)GetProcAddress(LoadLibraryA("ws2_real.dll"), "WSAIoctl");
	return real(s, code, in, in_size, out, out_size, returned, overlapped, routine);
}
