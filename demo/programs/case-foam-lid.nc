(case lid inserts, two off, foam 40)
(written by hand, invented workshop; Z0 on the spoilboard: G55)
g21 g17 g90 g94
g40 g49 g80 g55
m62
m51
m71 m74
g91 g28 z0
g90
m41
t21 m6
m45
g0 x200 y40 c0
g43 h21 z55
(--- first lid, 320 x 260 with two grips ---)
g0 z45
g1 z-0.2 f3000
g1 x340 f12000
g3 x360 y60 i0 j20 c90
g1 y260
g3 x340 y280 i-20 j0 c180
g1 x60
g3 x40 y260 i0 j-20 c270
g1 y60
g3 x60 y40 i20 j0 c0
g1 x201
g0 z45
(grip left)
g0 x100 y140 c0
g1 z-0.2 f3000
g1 x130 f12000
g0 z45
g0 c90
g1 z-0.2 f3000
g1 y180 f12000
g0 z45
g0 c180
g1 z-0.2 f3000
g1 x100 f12000
g3 x80 y160 i0 j-20 c270
g3 x100 y140 i20 j0 c0
g0 z45
(grip right)
g0 x270 y140 c0
g1 z-0.2 f3000
g1 x300 f12000
g3 x320 y160 i0 j20 c90
g3 x300 y180 i-20 j0 c180
g1 x270
g0 z45
g0 c270
g1 z-0.2 f3000
g1 y140 f12000
g0 z45
(--- second lid, chamfered corners ---)
g0 x600 y40 c0
g1 z-0.2 f3000
g1 x740 f12000
g0 z45
g0 c45
g1 z-0.2 f3000
g1 x760 y60 f12000
g0 z45
g0 c90
g1 z-0.2 f3000
g1 y260 f12000
g0 z45
g0 c135
g1 z-0.2 f3000
g1 x740 y280 f12000
g0 z45
g0 c180
g1 z-0.2 f3000
g1 x460 f12000
g0 z45
g0 c225
g1 z-0.2 f3000
g1 x440 y260 f12000
g0 z45
g0 c270
g1 z-0.2 f3000
g1 y60 f12000
g0 z45
g0 c315
g1 z-0.2 f3000
g1 x460 y40 f12000
g0 z45
g0 c0
g1 z-0.2 f3000
g1 x601 f12000
g0 z55
m46
g91 g28 z0
g90 g49
m40
g28 x0 y0
m81 m84
m53
m61
m30
