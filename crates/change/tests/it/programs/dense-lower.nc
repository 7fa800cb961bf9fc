(no blanks, lower case, decimal comma, a bare mark)
g21g90g54g94
t2m6
s12000m3
g0x0y0z5
g1z-,5f,8
x50,0f2,5
y50
x0
g0z5
m5
m30
