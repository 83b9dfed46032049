#include "textflag.h"

// In all of these R10 is the distance between the rows of the right-hand
// sides and AX how far into a row the block of eight (or four) columns stands,
// both in bytes. Y0..Y7 hold the sums, two registers a row.

// CLEAR sets the sums to zero.
#define CLEAR \
	VXORPD Y0, Y0, Y0 \
	VXORPD Y1, Y1, Y1 \
	VXORPD Y2, Y2, Y2 \
	VXORPD Y3, Y3, Y3 \
	VXORPD Y4, Y4, Y4 \
	VXORPD Y5, Y5, Y5 \
	VXORPD Y6, Y6, Y6 \
	VXORPD Y7, Y7, Y7

// SUBTRACT takes two of the sums from eight right-hand sides of a row.
#define SUBTRACT(row, lo, hi) \
	VMOVUPD (row)(AX*1), Y8   \
	VMOVUPD 32(row)(AX*1), Y9 \
	VSUBPD lo, Y8, Y8         \
	VSUBPD hi, Y9, Y9         \
	VMOVUPD Y8, (row)(AX*1)   \
	VMOVUPD Y9, 32(row)(AX*1)

// DI, DX, R12 and R13 are the rows of y that a sliver's four rows go to; R11 is
// how many rows are left, R9 where their numbers stand, SI and BX the sliver and
// how far apart its columns are, R8 the row of v.
//
// func vectorProduct(n, ld int, a *float64, step, depth int, v *float64, k int, y *float64, rows *int32)
TEXT ·vectorProduct(SB), NOSPLIT, $0-72
	MOVQ n+0(FP), R11
	MOVQ rows+64(FP), R9
	MOVQ k+48(FP), R10
	SHLQ $3, R10
productSliver:
	MOVQ $4, BX
	CMPQ R11, BX
	CMOVQLT ld+8(FP), BX
	SHLQ $3, BX
	MOVQ y+56(FP), R8
	MOVLQSX (R9), DI
	IMULQ R10, DI
	ADDQ R8, DI
	CMPQ R11, $2
	JLT  productPlaced
	MOVLQSX 4(R9), DX
	IMULQ R10, DX
	ADDQ R8, DX
	CMPQ R11, $3
	JLT  productPlaced
	MOVLQSX 8(R9), R12
	IMULQ R10, R12
	ADDQ R8, R12
	CMPQ R11, $4
	JLT  productPlaced
	MOVLQSX 12(R9), R13
	IMULQ R10, R13
	ADDQ R8, R13
productPlaced:
	XORL AX, AX
productColumns:
	CLEAR
	MOVQ a+16(FP), SI
	MOVQ depth+32(FP), CX
	MOVQ v+40(FP), R8
	ADDQ AX, R8
productLoop:
	VMOVUPD (R8), Y8
	VMOVUPD 32(R8), Y9
	VBROADCASTSD (SI), Y10
	VBROADCASTSD 8(SI), Y11
	VFMADD231PD Y8, Y10, Y0
	VFMADD231PD Y9, Y10, Y1
	VBROADCASTSD 16(SI), Y12
	VFMADD231PD Y8, Y11, Y2
	VFMADD231PD Y9, Y11, Y3
	VBROADCASTSD 24(SI), Y13
	VFMADD231PD Y8, Y12, Y4
	VFMADD231PD Y9, Y12, Y5
	ADDQ BX, SI
	ADDQ R10, R8
	VFMADD231PD Y8, Y13, Y6
	VFMADD231PD Y9, Y13, Y7
	DECQ CX
	JNZ  productLoop

	SUBTRACT(DI, Y0, Y1)
	CMPQ R11, $2
	JLT  productStored
	SUBTRACT(DX, Y2, Y3)
	CMPQ R11, $3
	JLT  productStored
	SUBTRACT(R12, Y4, Y5)
	CMPQ R11, $4
	JLT  productStored
	SUBTRACT(R13, Y6, Y7)
productStored:
	ADDQ $64, AX
	CMPQ AX, R10
	JLT  productColumns
	MOVQ step+24(FP), CX
	SHLQ $3, CX
	ADDQ CX, a+16(FP)
	ADDQ $16, R9
	SUBQ $4, R11
	JGT  productSliver
	VZEROUPPER
	RET

// R12 is the sliver and R13 the length of it, SI, BX and DX a row in it and once
// and three times its columns' distance, DI the row of y, whose origin is R8;
// R9 and R11 are as above.
//
// func vectorTransposed(n, ld int, a *float64, step, grow, column, m int, z *float64, k int, y *float64, rows *int32)
TEXT ·vectorTransposed(SB), NOSPLIT, $0-88
	MOVQ k+64(FP), R10
	SHLQ $3, R10
	XORL AX, AX
transposedColumns:
	CLEAR
	MOVQ n+0(FP), R11
	MOVQ a+16(FP), R12
	MOVQ step+24(FP), R13
	SHLQ $3, R13
	MOVQ y+72(FP), R8
	ADDQ AX, R8
	MOVQ rows+80(FP), R9
transposedSliver:
	MOVQ $4, BX
	MOVQ BX, CX
	CMPQ R11, BX
	CMOVQLT ld+8(FP), BX
	CMOVQLT R11, CX
	SHLQ $3, BX
	MOVQ column+40(FP), SI
	IMULQ BX, SI
	ADDQ R12, SI
	LEAQ (BX)(BX*2), DX
transposedLoop:
	MOVLQSX (R9), DI
	IMULQ R10, DI
	VBROADCASTSD (SI), Y10
	VMOVUPD (R8)(DI*1), Y8
	VMOVUPD 32(R8)(DI*1), Y9
	VBROADCASTSD (SI)(BX*1), Y11
	VFMADD231PD Y8, Y10, Y0
	VFMADD231PD Y9, Y10, Y1
	VBROADCASTSD (SI)(BX*2), Y12
	VFMADD231PD Y8, Y11, Y2
	VFMADD231PD Y9, Y11, Y3
	VBROADCASTSD (SI)(DX*1), Y13
	VFMADD231PD Y8, Y12, Y4
	VFMADD231PD Y9, Y12, Y5
	ADDQ $8, SI
	ADDQ $4, R9
	VFMADD231PD Y8, Y13, Y6
	VFMADD231PD Y9, Y13, Y7
	DECQ CX
	JNZ  transposedLoop
	ADDQ R13, R12
	MOVQ grow+32(FP), CX
	SHLQ $3, CX
	ADDQ CX, R13
	SUBQ $4, R11
	JGT  transposedSliver

	MOVQ m+48(FP), CX
	MOVQ z+56(FP), DI
	SUBTRACT(DI, Y0, Y1)
	CMPQ CX, $2
	JLT  transposedStored
	ADDQ R10, DI
	SUBTRACT(DI, Y2, Y3)
	CMPQ CX, $3
	JLT  transposedStored
	ADDQ R10, DI
	SUBTRACT(DI, Y4, Y5)
	CMPQ CX, $4
	JLT  transposedStored
	ADDQ R10, DI
	SUBTRACT(DI, Y6, Y7)
transposedStored:
	ADDQ $64, AX
	CMPQ AX, R10
	JLT  transposedColumns
	VZEROUPPER
	RET

// Loads the diagonal block at SI, whose columns lie ld (BX) apart: Y4, Y5,
// Y6, Y7 its first column, Y8, Y9, Y10 its second, Y11, Y12 its third and Y13
// its fourth, from the diagonal down.
#define BLOCK \
	SHLQ $3, BX                    \
	LEAQ (BX)(BX*2), DX            \
	VBROADCASTSD (SI), Y4          \
	VBROADCASTSD 8(SI), Y5         \
	VBROADCASTSD 16(SI), Y6        \
	VBROADCASTSD 24(SI), Y7        \
	VBROADCASTSD 8(SI)(BX*1), Y8   \
	VBROADCASTSD 16(SI)(BX*1), Y9  \
	VBROADCASTSD 24(SI)(BX*1), Y10 \
	VBROADCASTSD 16(SI)(BX*2), Y11 \
	VBROADCASTSD 24(SI)(BX*2), Y12 \
	VBROADCASTSD 24(SI)(DX*1), Y13

// func vectorSolve(d *float64, ld, m int, z *float64, k int)
TEXT ·vectorSolve(SB), NOSPLIT, $0-40
	MOVQ d+0(FP), SI
	MOVQ ld+8(FP), BX
	MOVQ m+16(FP), CX
	MOVQ z+24(FP), DI
	MOVQ k+32(FP), R10
	SHLQ $3, R10
	BLOCK
	LEAQ (DI)(R10*1), R8
	LEAQ (R8)(R10*1), R9
	LEAQ (R9)(R10*1), R12
	XORL AX, AX
solveColumns:
	VMULPD (DI)(AX*1), Y4, Y0
	VMOVUPD Y0, (DI)(AX*1)
	CMPQ CX, $2
	JLT  solveStored
	VMOVUPD (R8)(AX*1), Y1
	VFNMADD231PD Y5, Y0, Y1
	VMULPD Y8, Y1, Y1
	VMOVUPD Y1, (R8)(AX*1)
	CMPQ CX, $3
	JLT  solveStored
	VMOVUPD (R9)(AX*1), Y2
	VFNMADD231PD Y6, Y0, Y2
	VFNMADD231PD Y9, Y1, Y2
	VMULPD Y11, Y2, Y2
	VMOVUPD Y2, (R9)(AX*1)
	CMPQ CX, $4
	JLT  solveStored
	VMOVUPD (R12)(AX*1), Y3
	VFNMADD231PD Y7, Y0, Y3
	VFNMADD231PD Y10, Y1, Y3
	VFNMADD231PD Y12, Y2, Y3
	VMULPD Y13, Y3, Y3
	VMOVUPD Y3, (R12)(AX*1)
solveStored:
	ADDQ $32, AX
	CMPQ AX, R10
	JLT  solveColumns
	VZEROUPPER
	RET

// func vectorSolveBack(d *float64, ld, m int, z *float64, k int)
// A block of less than four columns counts as one whose last unknowns are zero.
TEXT ·vectorSolveBack(SB), NOSPLIT, $0-40
	MOVQ d+0(FP), SI
	MOVQ ld+8(FP), BX
	MOVQ m+16(FP), CX
	MOVQ z+24(FP), DI
	MOVQ k+32(FP), R10
	SHLQ $3, R10
	BLOCK
	LEAQ (DI)(R10*1), R8
	LEAQ (R8)(R10*1), R9
	LEAQ (R9)(R10*1), R12
	VXORPD Y1, Y1, Y1
	VXORPD Y2, Y2, Y2
	VXORPD Y3, Y3, Y3
	XORL AX, AX
backColumns:
	CMPQ CX, $2
	JLT  backFirst
	JEQ  backSecond
	CMPQ CX, $3
	JEQ  backThird
	VMULPD (R12)(AX*1), Y13, Y3
	VMOVUPD Y3, (R12)(AX*1)
backThird:
	VMOVUPD (R9)(AX*1), Y2
	VFNMADD231PD Y12, Y3, Y2
	VMULPD Y11, Y2, Y2
	VMOVUPD Y2, (R9)(AX*1)
backSecond:
	VMOVUPD (R8)(AX*1), Y1
	VFNMADD231PD Y9, Y2, Y1
	VFNMADD231PD Y10, Y3, Y1
	VMULPD Y8, Y1, Y1
	VMOVUPD Y1, (R8)(AX*1)
backFirst:
	VMOVUPD (DI)(AX*1), Y0
	VFNMADD231PD Y5, Y1, Y0
	VFNMADD231PD Y6, Y2, Y0
	VFNMADD231PD Y7, Y3, Y0
	VMULPD Y4, Y0, Y0
	VMOVUPD Y0, (DI)(AX*1)
	ADDQ $32, AX
	CMPQ AX, R10
	JLT  backColumns
	VZEROUPPER
	RET

// func vectorGather(n int, v, y *float64, rows *int32, k int)
TEXT ·vectorGather(SB), NOSPLIT, $0-40
	MOVQ n+0(FP), CX
	MOVQ v+8(FP), DI
	MOVQ y+16(FP), R8
	MOVQ rows+24(FP), R9
	MOVQ k+32(FP), R10
	SHLQ $3, R10
gatherRow:
	MOVLQSX (R9), SI
	IMULQ R10, SI
	ADDQ R8, SI
	XORL AX, AX
gatherColumns:
	VMOVUPD (SI)(AX*1), Y0
	VMOVUPD 32(SI)(AX*1), Y1
	VMOVUPD Y0, (DI)(AX*1)
	VMOVUPD Y1, 32(DI)(AX*1)
	ADDQ $64, AX
	CMPQ AX, R10
	JLT  gatherColumns
	ADDQ R10, DI
	ADDQ $4, R9
	DECQ CX
	JNZ  gatherRow
	VZEROUPPER
	RET

// func vectorScatter(n int, y *float64, rows *int32, v *float64, k int)
TEXT ·vectorScatter(SB), NOSPLIT, $0-40
	MOVQ n+0(FP), CX
	MOVQ y+8(FP), R8
	MOVQ rows+16(FP), R9
	MOVQ v+24(FP), DI
	MOVQ k+32(FP), R10
	SHLQ $3, R10
scatterRow:
	MOVLQSX (R9), SI
	IMULQ R10, SI
	ADDQ R8, SI
	XORL AX, AX
scatterColumns:
	VMOVUPD (DI)(AX*1), Y0
	VMOVUPD 32(DI)(AX*1), Y1
	VMOVUPD Y0, (SI)(AX*1)
	VMOVUPD Y1, 32(SI)(AX*1)
	ADDQ $64, AX
	CMPQ AX, R10
	JLT  scatterColumns
	ADDQ R10, DI
	ADDQ $4, R9
	DECQ CX
	JNZ  scatterRow
	VZEROUPPER
	RET

// func vectorPrefetchRows(n int, p *float64, rows *int32, k int)
TEXT ·vectorPrefetchRows(SB), NOSPLIT, $0-32
	MOVQ n+0(FP), CX
	MOVQ p+8(FP), R8
	MOVQ rows+16(FP), R9
	MOVQ k+24(FP), R10
	SHLQ $3, R10
prefetchRow:
	MOVLQSX (R9), SI
	IMULQ R10, SI
	ADDQ R8, SI
	XORL AX, AX
prefetchColumns:
	PREFETCHT0 (SI)(AX*1)
	ADDQ $64, AX
	CMPQ AX, R10
	JLT  prefetchColumns
	ADDQ $4, R9
	DECQ CX
	JNZ  prefetchRow
	RET

// func vectorPrefetch(lines int, p *float64)
TEXT ·vectorPrefetch(SB), NOSPLIT, $0-16
	MOVQ lines+0(FP), CX
	MOVQ p+8(FP), SI
prefetchLine:
	PREFETCHT0 (SI)
	ADDQ $64, SI
	DECQ CX
	JNZ  prefetchLine
	RET
