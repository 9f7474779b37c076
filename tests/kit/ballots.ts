/**
 * Ballots as one line: "3 ab, cd, 2" is three voters who approve a and b, one who approves c and d, and two who approve nothing.
 */
export function ballots(text: string): readonly (readonly string[])[] {
  return text.split(',').flatMap((group) => {
    const words = group.trim().split(' ');
    const first = words[0] ?? '';
    const counted = /^\d+$/.test(first);
    const ids = [...((counted ? words[1] : first) ?? '')];
    return Array.from({ length: counted ? Number(first) : 1 }, () => ids);
  });
}
