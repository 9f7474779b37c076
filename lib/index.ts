/**
 * The music engine as a library, for other programs: plain values in, plain values out. Inside this project import the module itself.
 */
export { arrange } from './arrange/arrange';
export { engraveMeasure as engrave } from './engrave/measure';
export { svgOf } from './engrave/svg';
export { readAbc as parseTune } from './formats/abc/read';
export { toAbc } from './formats/abc/write';
export { readMidi } from './formats/midi/read';
export { toMidi } from './formats/midi/write';
export { readMusicXml } from './formats/musicxml/read';
export { toMusicXml } from './formats/musicxml/write';
export { ideas } from './ideas/ideas';
export { exercise, tastefulMix } from './ideas/part';
export { judge } from './judge';
export { elect } from './passes/elect';
export { planPasses } from './passes/plan-passes';
export { renderSound } from './sound/render';
export { positionAt } from './transport/place';
export { describe } from './words/describe';
