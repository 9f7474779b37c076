/** Stands for lib0's `broadcastchannel`: tabs of one browser do not talk past the server here (`disableBc`), so nothing is done. */
const nothing = (): undefined => undefined;

export { nothing as publish, nothing as subscribe, nothing as unsubscribe };
