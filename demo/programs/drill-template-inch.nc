; DRILL TEMPLATE FOR HIVE SIDES - inch program for the small table
; invented workshop, written by hand
; sheet mdf-12-half (48 x 24 in), Z0 on the spoilboard, face at Z.4724
; arc centres are absolute
G70 G17 G90 G94
G40 G80 G54
M21
; --- pilot holes, 1/8 straight cutter, pecked
T32
S18000 M3
G4 P4000
G0 X4. Y4.
G0 Z.75
G99 G83 X4. Y4. Z-.0118 R.55 Q.12 F60.
X4. Y6.
X4. Y8.
X4. Y10.
X4. Y12.
X4. Y14.
X4. Y16.
X4. Y18.
X40. Y18.
X40. Y16.
X40. Y14.
X40. Y12.
X40. Y10.
X40. Y8.
X40. Y6.
X40. Y4.
G80
G0 Z1.
; --- two curved slots 1/4 wide, 1/4 compression cutter
M5
G91 G28 Z0
G90
T31
S16000 M3
G4 P4000
G0 X18. Y7.5
G0 Z1.
G0 Z.55
G1 Z.4724 F60.
; slot below, half circle about X22 Y7.5 radius 4, two passes
G3 X26. Y7.5 Z.2362 I22. J7.5 F150.
G2 X18. Y7.5 I22. J7.5 F475.
G3 X26. Y7.5 Z-.0118 I22. J7.5 F150.
G2 X18. Y7.5 I22. J7.5 F475.
G0 Z1.
; slot above, half circle about X22 Y14.5
G0 X26. Y14.5
G0 Z.55
G1 Z.4724 F60.
G3 X18. Y14.5 Z.2362 I22. J14.5 F150.
G2 X26. Y14.5 I22. J14.5 F475.
G3 X18. Y14.5 Z-.0118 I22. J14.5 F150.
G2 X26. Y14.5 I22. J14.5 F475.
G0 Z1.
; --- window 8 x 2 with corners of 1/2, cutter inside, counterclockwise;
; --- a skin of .03 stays and is cut by hand
G0 X22. Y10.125
G0 Z.55
G1 Z.4724 F60.
G1 X25. Z.2362 F120.
G1 X25.5 F475.
G3 X25.875 Y10.5 I25.5 J10.5
G1 Y11.5
G3 X25.5 Y11.875 I25.5 J11.5
G1 X18.5
G3 X18.125 Y11.5 I18.5 J11.5
G1 Y10.5
G3 X18.5 Y10.125 I18.5 J10.5
G1 X22.
G1 X25. Z.03 F120.
G1 X25.5 F475.
G3 X25.875 Y10.5 I25.5 J10.5
G1 Y11.5
G3 X25.5 Y11.875 I25.5 J11.5
G1 X18.5
G3 X18.125 Y11.5 I18.5 J11.5
G1 Y10.5
G3 X18.5 Y10.125 I18.5 J10.5
G1 X25.
G0 Z1.
; --- outline 40 x 18 with corners of 1, clockwise
G0 X22. Y1.875
G0 Z.55
G1 Z.4724 F60.
G1 X18. Z.2362 F150.
G1 X3. F475.
G2 X1.875 Y3. I3. J3.
G1 Y19.
G2 X3. Y20.125 I3. J19.
G1 X41.
G2 X42.125 Y19. I41. J19.
G1 Y3.
G2 X41. Y1.875 I41. J3.
G1 X22.
G1 X18. Z-.0118 F150.
G1 X3. F475.
G2 X1.875 Y3. I3. J3.
G1 Y19.
G2 X3. Y20.125 I3. J19.
G1 X41.
G2 X42.125 Y19. I41. J19.
G1 Y3.
G2 X41. Y1.875 I41. J3.
G1 X18.
G0 Z1.
M5
G91 G28 Z0
G90
M22
M30
