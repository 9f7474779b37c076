/**
 * A reel in G for people who want to look around first: AABB, eight measures a part, mostly quarter notes, open G, first
 * position. Composed for this project.
 */
export const DEMO_ABC = `X:1
T:Lantern on the Landing
M:2/2
L:1/8
Q:1/2=60
K:G
|: "G"G2 B2 d2 B2 | G2 AB d4 | "C"e2 c2 "C"e2 d2 | "G"B2 G2 A2 B2 |
"G"G2 B2 d2 B2 | G2 AB d4 | "D7"A2 B2 A2 F2 | "G"G4 G4 :|
|: "G"d2 d2 B2 d2 | "C"e2 dc e4 | "G"d2 B2 G2 B2 | "D7"A2 B2 A2 D2 |
"G"d2 d2 B2 d2 | "C"e2 dc e4 | "D7"d2 B2 A2 F2 | "G"G4 G4 :|
`;
