// The reference: CHOLMOD, supernodal, on a matrix that the harness wrote.
// Arguments: the matrix's file, the ordering (amd, metis or nesdis).
// Prints one line of name=value; times in seconds, memory in bytes.
//
// The file, little endian: int64 n and nnz; int64 start[n+1]; int32
// row[nnz] and double value[nnz] of the lower triangle by columns; double
// x[n], y[n], which are not read here.
#include <cholmod.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now(clockid_t clock) {
  struct timespec t;
  clock_gettime(clock, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

static double wall, cpu;

static void start(void) {
  wall = now(CLOCK_MONOTONIC);
  cpu = now(CLOCK_PROCESS_CPUTIME_ID);
}

static void stop(const char *name) {
  double w = now(CLOCK_MONOTONIC) - wall, c = now(CLOCK_PROCESS_CPUTIME_ID) - cpu;
  printf("%s=%.6f %s_cpu=%.6f ", name, w, name, c);
}

// The most memory this program has held. (getrusage would count what its
// parent held when it started this one.)
static double peak(void) {
  char line[256];
  double kib = 0;
  FILE *f = fopen("/proc/self/status", "r");
  while (f != NULL && fgets(line, sizeof line, f) != NULL)
    if (sscanf(line, "VmHWM: %lf", &kib) == 1)
      break;
  if (f != NULL)
    fclose(f);
  return kib * 1024;
}

// The name of the linear algebra library that is really in use.
static const char *blas(void) {
  static char line[1024];
  FILE *f = fopen("/proc/self/maps", "r");
  while (f != NULL && fgets(line, sizeof line, f) != NULL)
    if (strstr(line, "blas") != NULL) {
      line[strcspn(line, "\n")] = 0;
      return strrchr(line, '/') + 1;
    }
  return "unknown";
}

static void must(int ok, const char *what) {
  if (!ok) {
    fprintf(stderr, "cholmod: %s\n", what);
    exit(1);
  }
}

static cholmod_sparse *load(const char *name, cholmod_common *c) {
  FILE *f = fopen(name, "rb");
  must(f != NULL, "cannot open the matrix");
  int64_t head[2], one;
  must(fread(head, 8, 2, f) == 2, "matrix is cut short");
  size_t n = head[0], nnz = head[1];
  cholmod_sparse *a = cholmod_allocate_sparse(n, n, nnz, 1, 1, -1, CHOLMOD_REAL, c);
  must(a != NULL, "no memory for the matrix");
  for (size_t j = 0; j <= n; j++) {
    must(fread(&one, 8, 1, f) == 1, "matrix is cut short");
    ((int *)a->p)[j] = (int)one;
  }
  must(fread(a->i, 4, nnz, f) == nnz, "matrix is cut short");
  must(fread(a->x, 8, nnz, f) == nnz, "matrix is cut short");
  fclose(f);
  return a;
}

int main(int argc, char **argv) {
  must(argc == 3, "usage: cholmod FILE ORDERING");
  cholmod_common c;
  cholmod_start(&c);
  c.nmethods = 1;
  c.method[0].ordering = !strcmp(argv[2], "amd") ? CHOLMOD_AMD : !strcmp(argv[2], "metis") ? CHOLMOD_METIS : CHOLMOD_NESDIS;
  c.postorder = 1;
  c.supernodal = CHOLMOD_SUPERNODAL;
  cholmod_sparse *a = load(argv[1], &c);
  size_t n = a->nrow;
  double before = peak();

  start();
  cholmod_factor *l = cholmod_analyze(a, &c);
  stop("analyse");
  start();
  cholmod_factorize(a, l, &c);
  stop("factor");
  double after = peak();
  must(c.status == CHOLMOD_OK, "factorisation failed");

  const int many = 32;
  cholmod_dense *b = cholmod_zeros(n, many, CHOLMOD_REAL, &c);
  for (int r = 0; r < many; r++)
    ((double *)b->x)[r * n + n / 40 * r + n / 3 % 97] = 1;
  start();
  cholmod_dense *x = cholmod_solve(CHOLMOD_A, l, b, &c);
  stop("solve32");
  double sum = 0;
  for (size_t i = 0; i < n * many; i++)
    sum += fabs(((double *)x->x)[i]);
  // The last column alone.
  cholmod_dense *b1 = cholmod_zeros(n, 1, CHOLMOD_REAL, &c);
  memcpy(b1->x, (double *)b->x + n * (many - 1), n * 8);
  start();
  cholmod_dense *x1 = cholmod_solve(CHOLMOD_A, l, b1, &c);
  stop("solve1");
  must(x1 != NULL, "no memory for the solution");
  int v[3];
  cholmod_version(v);
  printf("loaded=%.0f peak=%.0f nnz=%.0f flops=%.0f sum=%.15g version=%d.%d.%d blas=%s\n",
         before, after, c.lnz, c.fl, sum, v[0], v[1], v[2], blas());
  return 0;
}
