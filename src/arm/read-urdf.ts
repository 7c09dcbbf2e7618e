// Takes a serial chain of revolute joints out of a URDF robot description (its public XML format: joints with origin xyz in
// metres and rpy in radians about fixed axes x, y, z, axis, limits). Fixed joints are folded into the frames around them.
import { composeRigid, type Rigid, rigidFromAngles } from '../geometry/rigid.ts';
import type { ChainJoint, SerialChain } from '../model/arm.ts';
import type { ChainWithLimits } from '../model/arm-file.ts';
import { InputError } from '../model/input-error.ts';
import { readXml, type XmlElement } from './read-xml.ts';

const MM_PER_M = 1000;
const STILL = rigidFromAngles([0, 0, 0], [0, 0, 0]);

interface Joint {
  readonly name: string;
  readonly type: string;
  readonly parent: string;
  readonly child: string;
  readonly element: XmlElement;
}

/**
 * Chain from link `root` (the tree's root when undefined) to link `tip` (its only leaf when undefined), mm and rad; an axis
 * of type `continuous` has infinite limits. Throws InputError `xml` or `urdf-*` with file and line.
 */
export function readUrdf(text: string, file: string, root?: string, tip?: string): ChainWithLimits {
  const robot = readXml(text, file);
  if (robot.name !== 'robot') {
    throw new InputError('urdf-root', `the root element is <${robot.name}>, not <robot>`, file, 'give a URDF file');
  }
  const links = robot.children.filter((child) => child.name === 'link').map((link) => attribute(link, 'name', file));
  const joints = robot.children.filter((child) => child.name === 'joint').map((element) => readJoint(element, file));
  const way = chainBetween(links, joints, root, tip, file);
  const moving: ChainJoint[] = [];
  const axes: ChainWithLimits['axes'][number][] = [];
  let frame = STILL;
  for (const joint of way) {
    frame = composeRigid(frame, originOf(joint.element, file));
    if (joint.type === 'fixed') continue;
    if (joint.type !== 'revolute' && joint.type !== 'continuous') {
      const sentence = `joint "${joint.name}" is ${joint.type}: only revolute joints can be solved`;
      throw new InputError('urdf-joint-type', sentence, place(file, joint.element), 'choose a root and tip without it');
    }
    if (joint.element.children.some((child) => child.name === 'mimic')) {
      const sentence = `joint "${joint.name}" follows another one`;
      throw new InputError('urdf-joint-type', sentence, place(file, joint.element), 'choose a root and tip without it');
    }
    moving.push({ origin: numbersOf(frame), axis: axisOf(joint.element, file) });
    axes.push(limitsOf(joint, file));
    frame = STILL;
  }
  if (moving.length === 0) {
    throw new InputError(
      'urdf-chain',
      'there is no moving joint between root and tip',
      file,
      'choose another root or tip',
    );
  }
  const model: SerialChain = { kind: 'chain', joints: moving, flange: numbersOf(frame) };
  return { model, axes };
}

function readJoint(element: XmlElement, file: string): Joint {
  const end = (which: string): string => {
    const child = element.children.find((candidate) => candidate.name === which);
    if (child === undefined) {
      const sentence = `a joint has no <${which}>`;
      throw new InputError('urdf-joint', sentence, place(file, element), `add <${which} link="..."/>`);
    }
    return attribute(child, 'link', file);
  };
  return {
    name: attribute(element, 'name', file),
    type: attribute(element, 'type', file),
    parent: end('parent'),
    child: end('child'),
    element,
  };
}

/** The joints from root to tip, in order. */
function chainBetween(
  links: readonly string[],
  joints: readonly Joint[],
  root: string | undefined,
  tip: string | undefined,
  file: string,
): Joint[] {
  const known = new Set(links);
  for (const joint of joints) {
    for (const link of [joint.parent, joint.child]) {
      if (known.has(link)) continue;
      const sentence = `joint "${joint.name}" names the link "${link}", which does not exist`;
      throw new InputError('urdf-link', sentence, place(file, joint.element), 'check the names of links');
    }
  }
  const above = new Map<string, Joint>();
  for (const joint of joints) {
    if (above.has(joint.child)) {
      const sentence = `the link "${joint.child}" hangs on two joints`;
      throw new InputError('urdf-link', sentence, place(file, joint.element), 'a robot description is a tree');
    }
    above.set(joint.child, joint);
  }
  const parents = new Set(joints.map((joint) => joint.parent));
  const end = pick(
    'tip',
    tip,
    links.filter((link) => !parents.has(link)),
    known,
    file,
  );
  const start = root === undefined ? undefined : pick('root', root, [], known, file);
  const way: Joint[] = [];
  for (let link = end; link !== start; ) {
    const joint = above.get(link);
    if (joint === undefined) {
      if (start === undefined) break;
      throw new InputError(
        'urdf-chain',
        `no way leads from "${start}" to "${end}"`,
        file,
        'choose another root or tip',
      );
    }
    if (way.length > joints.length) {
      throw new InputError('urdf-link', 'the joints go round in a circle', file, 'a robot description is a tree');
    }
    way.unshift(joint);
    link = joint.parent;
  }
  return way;
}

/** The link asked for, or the only one there is. */
function pick(
  what: string,
  wanted: string | undefined,
  choices: readonly string[],
  known: ReadonlySet<string>,
  file: string,
): string {
  if (wanted !== undefined) {
    if (known.has(wanted)) return wanted;
    const hint = `links: ${[...known].slice(0, 20).join(', ')}`;
    throw new InputError('urdf-link', `there is no link "${wanted}"`, file, hint);
  }
  if (choices.length === 1) return choices[0];
  const list = choices.slice(0, 20).join(', ');
  throw new InputError(
    'urdf-chain',
    `the ${what} is not clear: ${choices.length} links could be it`,
    file,
    `name one of: ${list}`,
  );
}

function originOf(element: XmlElement, file: string): Rigid {
  const origin = element.children.find((child) => child.name === 'origin');
  if (origin === undefined) return STILL;
  const xyz = triple(origin, 'xyz', [0, 0, 0], file);
  const rpy = triple(origin, 'rpy', [0, 0, 0], file);
  return rigidFromAngles(
    xyz.map((x) => MM_PER_M * x),
    rpy,
  );
}

function axisOf(element: XmlElement, file: string): readonly [number, number, number] {
  const axis = element.children.find((child) => child.name === 'axis');
  if (axis === undefined) return [1, 0, 0];
  const [x, y, z] = triple(axis, 'xyz', [1, 0, 0], file);
  const size = Math.sqrt(x * x + y * y + z * z);
  if (!(size > 1e-9))
    throw new InputError('urdf-axis', 'an axis has no direction', place(file, axis), 'give a unit vector');
  return [x / size, y / size, z / size];
}

function limitsOf(joint: Joint, file: string): ChainWithLimits['axes'][number] {
  const { name, element } = joint;
  const limit = element.children.find((child) => child.name === 'limit');
  if (limit === undefined) {
    throw new InputError(
      'urdf-limit',
      `joint "${name}" has no <limit>`,
      place(file, element),
      'give lower, upper, velocity',
    );
  }
  const speed = one(limit, 'velocity', undefined, file);
  const endless = joint.type === 'continuous';
  const min = endless ? Number.NEGATIVE_INFINITY : one(limit, 'lower', 0, file);
  const max = endless ? Number.POSITIVE_INFINITY : one(limit, 'upper', 0, file);
  if (!(min <= max) || !(speed > 0)) {
    const sentence = `the limits of joint "${name}" leave no room: ${min} to ${max} rad at ${speed} rad/s`;
    throw new InputError('urdf-limit', sentence, place(file, limit), 'give lower <= upper and a velocity above zero');
  }
  return { name, min, max, speed };
}

function attribute(element: XmlElement, key: string, file: string): string {
  const value = element.attributes.get(key);
  if (value !== undefined && value !== '') return value;
  const sentence = `<${element.name}> has no "${key}"`;
  throw new InputError('urdf-attribute', sentence, place(file, element), `add ${key}="..."`);
}

function triple(element: XmlElement, key: string, fallback: number[], file: string): number[] {
  const text = element.attributes.get(key);
  if (text === undefined) return fallback;
  const values = text.trim().split(/\s+/).map(plainNumber);
  if (values.length === 3 && values.every((x) => !Number.isNaN(x))) return values;
  const sentence = `"${key}" is not three numbers: "${text}"`;
  throw new InputError('urdf-number', sentence, place(file, element), 'write decimal numbers with spaces between');
}

function one(element: XmlElement, key: string, fallback: number | undefined, file: string): number {
  const text = element.attributes.get(key);
  if (text === undefined && fallback !== undefined) return fallback;
  const value = plainNumber((text ?? '').trim());
  if (!Number.isNaN(value)) return value;
  const sentence = text === undefined ? `"${key}" is missing` : `"${key}" is not a number: "${text}"`;
  throw new InputError('urdf-number', sentence, place(file, element), 'write a decimal number');
}

/** A decimal number of sensible size, else NaN. */
function plainNumber(text: string): number {
  const value = /^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$/.test(text) ? Number(text) : Number.NaN;
  return Math.abs(value) <= 1e6 ? value : Number.NaN;
}

const numbersOf = (rigid: Rigid): number[] => [...rigid.rotation, ...rigid.translation];

const place = (file: string, element: XmlElement): string => `${file}, line ${element.line}`;
