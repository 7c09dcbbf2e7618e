// Robot descriptions: the right chain out of a good one, one clear error out of a bad one.
import { describe, expect, it } from 'vitest';
import { chainOf, forward, framesSize } from '../../src/arm/chain-kinematics.ts';
import { readUrdf } from '../../src/arm/read-urdf.ts';
import { readXml } from '../../src/arm/read-xml.ts';
import { wristOffset } from '../../src/arm/wrist-offset.ts';
import { InputError } from '../../src/model/input-error.ts';
import type { OrthoParallel } from '../../src/model/arm.ts';
import { armOf, benchmark, geometric, P1, seededRandom } from './sample-arms.ts';

/** The geometry of an ortho-parallel arm as a robot description, in metres, with a fixed joint in the middle and a side branch. */
function urdfOf(model: OrthoParallel, wristShift = 0): string {
  const m = (x: number): string => String(x / 1000);
  const { a1, a2, b, c1, c2, c3, c4 } = model;
  const joints = [
    ['j1', 'base', 'l1', [0, 0, 0], '0 0 1'],
    ['j2', 'l1', 'l2', [a1, b, c1], '0 2 0'],
    ['j3', 'l2', 'l3', [0, 0, c2], '0 1 0'],
    ['j4', 'mid', 'l4', [0, 0, c3], '0 0 1'],
    ['j5', 'l4', 'l5', [0, 0, 0], '0 1 0'],
    ['j6', 'l5', 'l6', [wristShift, 0, 0], '0 0 1'],
  ] as const;
  const lines = joints.map(
    ([name, parent, child, [x, y, z], axis]) => `
  <joint name="${name}" type="${name === 'j6' ? 'continuous' : 'revolute'}">
    <origin xyz="${m(x)} ${m(y)} ${m(z)}" rpy="0 0 0"/> <!-- a > b -->
    <parent link="${parent}"/><child link='${child}'/><axis xyz="${axis}"/>
    <limit lower="-3.0" upper="3.0" velocity="4.5" effort="10"/>
  </joint>`,
  );
  return `<?xml version="1.0"?>
<robot name="six &amp; axes">
  ${['base', 'l1', 'l2', 'l3', 'mid', 'l4', 'l5', 'l6', 'flange', 'lamp'].map((l) => `<link name="${l}"><visual/></link>`).join('\n  ')}
  <joint name="turned" type="fixed"><origin xyz="${m(a2)} 0 0" rpy="0 0 0"/><parent link="l3"/><child link="mid"/></joint>
  <joint name="lamp" type="prismatic"><parent link="l2"/><child link="lamp"/></joint>
  <joint name="end" type="fixed"><origin xyz="0 0 ${m(c4)}" rpy="0.1 -0.2 0.3"/><parent link="l6"/><child link="flange"/></joint>
  ${lines.join('')}
</robot>`;
}

describe('a robot description', () => {
  it('gives the chain of the geometry that it was written from, its fixed end turned (seed 3)', () => {
    const model = geometric(P1);
    const read = readUrdf(urdfOf(model), 'arm.urdf', undefined, 'flange');
    expect(read.axes.map((axis) => axis.name)).toEqual(['j1', 'j2', 'j3', 'j4', 'j5', 'j6']);
    expect(read.axes[0]).toMatchObject({ min: -3, max: 3, speed: 4.5 });
    expect(read.axes[5]).toMatchObject({ min: Number.NEGATIVE_INFINITY, max: Number.POSITIVE_INFINITY });
    const chain = chainOf(armOf(read.model));
    const plain = chainOf(armOf(model));
    const a = new Float64Array(framesSize(chain));
    const b = new Float64Array(framesSize(plain));
    // R = Rz(0.3) Ry(-0.2) Rx(0.1), worked with the engine's own functions.
    const [cr, sr, cp, sp, cy, sy] = [
      Math.cos(0.1),
      Math.sin(0.1),
      Math.cos(-0.2),
      Math.sin(-0.2),
      Math.cos(0.3),
      Math.sin(0.3),
    ];
    const end = [
      cy * cp,
      cy * sp * sr - sy * cr,
      cy * sp * cr + sy * sr,
      sy * cp,
      sy * sp * sr + cy * cr,
      sy * sp * cr - cy * sr,
      -sp,
      cp * sr,
      cp * cr,
    ];
    const random = seededRandom(3);
    for (let trial = 0; trial < 20; trial++) {
      const q = Float64Array.from({ length: 6 }, () => 6 * (random() - 0.5));
      forward(chain, q, 0, a);
      forward(plain, q, 0, b);
      for (let c = 0; c < 3; c++) {
        expect(a[72 + 9 + c]).toBeCloseTo(b[72 + 9 + c], 9);
        for (let k = 0; k < 3; k++) {
          const expected = [0, 1, 2].reduce((sum, i) => sum + b[72 + 3 * c + i] * end[3 * i + k], 0);
          expect(a[72 + 3 * c + k]).toBeCloseTo(expected, 12);
        }
      }
    }
  });

  it('tells a spherical wrist from another', () => {
    const offset = (text: string): number =>
      wristOffset(chainOf(armOf(readUrdf(text, 'f', undefined, 'flange').model)));
    expect(offset(urdfOf(geometric(P1)))).toBeLessThan(1e-9);
    expect(wristOffset(chainOf(armOf(benchmark)))).toBeLessThan(1e-9);
    // Axis 6 passes the point of the others at 4 mm; the best point lies between.
    expect(offset(urdfOf(geometric(P1), 4))).toBeGreaterThan(1);
    expect(offset(urdfOf(geometric(P1), 4))).toBeLessThanOrEqual(4);
  });

  const good = urdfOf(geometric(P1));
  it.each([
    ['truncated', good.slice(0, 900), 'xml'],
    ['empty', '', 'xml'],
    ['junk', 'solid wave', 'xml'],
    ['another root', '<model/>', 'urdf-root'],
    ['two roots', '<robot/><robot/>', 'xml'],
    ['a document type', '<!DOCTYPE robot [<!ENTITY a "b">]><robot/>', 'xml'],
    ['an unknown entity', '<robot name="&lol;"/>', 'xml'],
    ['mismatched tags', '<robot><link></robot>', 'xml'],
    ['an attribute twice', '<robot name="a" name="b"/>', 'xml'],
    ['deep nesting', '<a>'.repeat(100_000), 'xml'],
    ['NaN in an origin', good.replace('xyz="0.025 0 0.4"', 'xyz="NaN 0 0.4"'), 'urdf-number'],
    ['two numbers', good.replace('xyz="0.025 0 0.4"', 'xyz="0.025 0"'), 'urdf-number'],
    ['infinite limit', good.replace('upper="3.0"', 'upper="1e999"'), 'urdf-number'],
    ['NaN limit', good.replace('lower="-3.0"', 'lower="nan"'), 'urdf-number'],
    ['crossed limits', good.replace('lower="-3.0"', 'lower="4"'), 'urdf-limit'],
    ['zero speed', good.replace('velocity="4.5"', 'velocity="0"'), 'urdf-limit'],
    ['no axis', good.replace('axis xyz="0 2 0"', 'axis xyz="0 0 0"'), 'urdf-axis'],
    ['unknown link', good.replace('<parent link="l1"/>', '<parent link="l9"/>'), 'urdf-link'],
    ['two parents', good.replace("<child link='l3'/>", "<child link='l2'/>"), 'urdf-link'],
    ['a circle', good.replace('<parent link="base"/>', '<parent link="l6"/>'), 'urdf-link'],
    ['no child', good.replace("<child link='l3'/>", ''), 'urdf-joint'],
  ])('%s is one clear error', (_, text, code) => {
    expect(text).not.toBe(good);
    let caught: unknown;
    try {
      readUrdf(text, 'arm.urdf', undefined, 'flange');
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeInstanceOf(InputError);
    expect((caught as InputError).code).toBe(code);
    expect((caught as InputError).place).toContain('arm.urdf');
  });

  it('asks for a tip where there are two, refuses a sliding joint and unknown ends', () => {
    const code = (root?: string, tip?: string): string => {
      try {
        readUrdf(good, 'arm.urdf', root, tip);
      } catch (error) {
        return (error as InputError).code;
      }
      return 'none';
    };
    expect(code()).toBe('urdf-chain');
    expect(code(undefined, 'lamp')).toBe('urdf-joint-type');
    expect(code(undefined, 'nobody')).toBe('urdf-link');
    expect(code('nobody', 'flange')).toBe('urdf-link');
    expect(code('lamp', 'flange')).toBe('urdf-chain');
    expect(code('l3', 'mid')).toBe('urdf-chain');
    expect(code('l2', 'l5')).toBe('none');
  });
});

describe('XML', () => {
  it('gives elements, attributes with characters resolved, and lines', () => {
    const root = readXml(
      '\uFEFF<?xml version="1.0"?>\n<!-- <x> -->\n<a  k = "1 &lt; 2 &#65;&#x42;">text\n<b/><![CDATA[<c>]]>\n<d></d></a>\n',
      'f',
    );
    expect(root.attributes.get('k')).toBe('1 < 2 AB');
    expect(root.children.map((child) => [child.name, child.line])).toEqual([
      ['b', 4],
      ['d', 5],
    ]);
  });
});
