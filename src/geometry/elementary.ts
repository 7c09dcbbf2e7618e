// Elementary functions that give the same bits in every engine: re-exports of @stdlib's ports of FreeBSD msun and Cephes.
// ECMAScript leaves Math.sin and its kin to the engine, so two browsers may differ in the last bit; a plan must not. These
// use only + - * / and square root, which IEEE 754 fixes. The kernel takes them from here and nowhere else.
export { default as acos } from '@stdlib/math-base-special-acos';
export { default as asin } from '@stdlib/math-base-special-asin';
export { default as atan } from '@stdlib/math-base-special-atan';
export { default as atan2 } from '@stdlib/math-base-special-atan2';
export { default as cbrt } from '@stdlib/math-base-special-cbrt';
export { default as cos } from '@stdlib/math-base-special-cos';
export { default as erf } from '@stdlib/math-base-special-erf';
export { default as erfcx } from '@stdlib/math-base-special-erfcx';
export { default as exp } from '@stdlib/math-base-special-exp';
export { default as hypot } from '@stdlib/math-base-special-hypot';
export { default as log } from '@stdlib/math-base-special-ln';
export { default as log10 } from '@stdlib/math-base-special-log10';
export { default as pow } from '@stdlib/math-base-special-pow';
export { default as sin } from '@stdlib/math-base-special-sin';
export { default as tan } from '@stdlib/math-base-special-tan';
