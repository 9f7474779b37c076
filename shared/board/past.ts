/** Why a board was kept as it was at a moment: passes were agreed, voting closed, time had passed, or a return was to come. */
export const POINT_REASONS = ['agreed', 'closed', 'time', 'return'] as const;
export type PointReason = (typeof POINT_REASONS)[number];
