/* ProcessPrng for a Wine that lacks it (before 9.0): Go's runtime asks for it at
   the start of every program. */
#include <windows.h>

BOOLEAN NTAPI SystemFunction036(PVOID, ULONG); /* RtlGenRandom */

__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE to, SIZE_T n)
{
	while (n > 0) {
		ULONG k = n > 0x10000 ? 0x10000 : (ULONG)n;
		if (!SystemFunction036(to, k))
			return FALSE;
		to += k;
		n -= k;
	}
	return TRUE;
}
