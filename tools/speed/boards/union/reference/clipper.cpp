// Unites the rings of a file with Clipper and prints the seconds of processor
// time that the union alone took, and the area in square nanometres. The file
// holds 64 bit integers: the number of rings, then for each its number of
// points and their x and y.
#include <cstdint>
#include <cstdio>
#include <ctime>
#include <polyclipping/clipper.hpp>

using namespace ClipperLib;

static int64_t next(FILE *f) {
	int64_t v = 0;
	if (fread(&v, sizeof v, 1, f) != 1) return 0;
	return v;
}

int main(int, char **argv) {
	FILE *f = fopen(argv[1], "rb");
	if (!f) return 1;
	Paths in(next(f));
	for (auto &ring : in) {
		ring.resize(next(f));
		for (auto &p : ring) {
			p.X = next(f);
			p.Y = next(f);
		}
	}
	clock_t begin = clock();
	Clipper c;
	c.AddPaths(in, ptSubject, true);
	Paths out;
	c.Execute(ctUnion, out, pftNonZero, pftNonZero);
	double seconds = double(clock() - begin) / CLOCKS_PER_SEC, area = 0;
	for (auto &ring : out) area += Area(ring);
	printf("%.4f %.0f\n", seconds, area);
}
