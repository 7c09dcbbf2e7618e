import { describe, expect, it } from 'vitest';
import { checkSeam } from '../../src/checks/check-seam.ts';
import type { Code } from '../../src/checks/severity.ts';
import { RULES } from '../../src/checks/severity.ts';
import { edgeRatio } from '../../src/heat/edge-ratio.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { Finding } from '../../src/model/finding.ts';
import type { Job, JobSeam } from '../../src/model/job.ts';
import type { Path } from '../../src/model/path.ts';
import type { Seam } from '../../src/model/seam.ts';
import { RAD_PER_DEG } from '../../src/model/units.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { circlePath, linePath, plainAim, SEAM } from '../motion/plain-seam.ts';
import { plainJob, plainSeam } from './plain-job.ts';

interface Case {
  readonly path: Path;
  readonly aim: Aim;
  seam: Seam;
  jobSeam: JobSeam;
  job: Job;
}

async function findingsOf(change: (c: Case) => void, path = circlePath()): Promise<Finding[]> {
  const c: Case = { path, aim: plainAim(path), seam: plainSeam(path), jobSeam: SEAM, job: plainJob() };
  change(c);
  const timing = await timeSeam(path, c.aim, c.jobSeam, c.job.optics, c.job.limits);
  const edge = edgeRatio(path, null, c.aim.spotAcross, c.jobSeam.width);
  return checkSeam({ seam: c.seam, path, aim: c.aim, carried: null, timing, edgeRatio: edge }, c.jobSeam, c.job);
}

/** The only finding there is, which must be of this code. */
async function only(code: Code, change: (c: Case) => void, path?: Path): Promise<Finding> {
  const findings = await findingsOf(change, path);
  expect(findings.map((finding) => finding.code)).toEqual([code]);
  expect(findings[0].severity).toBe(RULES[code].severity);
  expect(findings[0].sentence).not.toMatch(/\.$|NaN|undefined|Infinity/);
  expect(findings[0].remedy).not.toBe('');
  return findings[0];
}

describe('checkSeam', () => {
  it('finds nothing on a plain seam, closed or open', async () => {
    expect(await findingsOf(() => {})).toEqual([]);
    expect(await findingsOf(() => {}, linePath())).toEqual([]);
  });

  it('says where a layer is too thick, how thick, and against what', async () => {
    const finding = await only('layer-thick', ({ aim }) => {
      aim.layer.fill(3.2, 224, 264);
      aim.layer[240] = 3.42;
    });
    expect(finding).toMatchObject({ from: 112, to: 131.5, at: 120, value: 3.42, limit: 3, unit: 'mm', seam: 'rim' });
    expect(finding.sentence).toBe('Layer 3.42 mm along the beam from 112.0 to 131.5 mm (limit 3.00 mm)');
  });

  it('lets a plate of 3 mm pass, with the error of a fitted surface on it, and not one of 3.01 mm', async () => {
    const layer = (mm: number) => findingsOf(({ aim }) => aim.layer.fill(mm));
    expect(await layer(3 + 1e-12)).toEqual([]);
    expect(await layer(3.0019)).toEqual([]);
    expect((await layer(3.01)).map(({ code, from, to }) => [code, from, to])).toEqual([['layer-thick', 0, 200]]);
  });

  it('says where waypoints stand too far apart for the bend', async () => {
    // Sagitta of a chord of 0.5 mm: k / 32, over 0.302 mm from a radius of 0.103 mm on.
    const apart = async (curvature: number) => {
      const findings = await findingsOf(({ path }) => path.curvature.fill(curvature, 100, 110));
      return findings.find(({ code }) => code === 'waypoints-apart');
    };
    const finding = await apart(10);
    expect(finding?.value).toBeCloseTo(10 / 32, 9);
    // Seen from both ends: the way to the first bent station counts.
    const remedy = 'set chord_mm to 0.300, or lessen spacing_mm (now 0.5)';
    expect(finding).toMatchObject({ limit: 0.3, from: 49.5, to: 54.5, remedy });
    expect(await apart(9.6)).toBeUndefined();
  });

  it('warns of ramps that meet, so that full power is reached nowhere, closed or open', async () => {
    const open = await only(
      'ramp-long',
      (c) => {
        c.jobSeam = { ...SEAM, ramp: 80 };
      },
      linePath(),
    );
    expect(open).toMatchObject({
      from: 0,
      to: 100,
      value: 62.5,
      limit: 100,
      remedy: 'set ramp_mm to at most 50.0 (now 80)',
    });
    const just = (ramp: number) =>
      findingsOf((c) => {
        c.jobSeam = { ...SEAM, ramp };
      }, linePath());
    expect(await just(50)).toEqual([]);
    const codes = await findingsOf((c) => {
      c.jobSeam = { ...SEAM, ramp: 500 };
    });
    expect(codes.map(({ code }) => code)).toEqual(['overlap-short', 'ramp-long']);
  });

  it('warns of an overlap that goes round again, and lets one pass that just reaches round', async () => {
    const long = (overlap: number) =>
      findingsOf((c) => {
        c.jobSeam = { ...SEAM, overlap };
      });
    expect(await long(200)).toEqual([]);
    expect((await long(200.1)).map(({ code, value, limit }) => [code, value, limit])).toEqual([
      ['overlap-long', 200.1, 200],
    ]);
  });

  it('names the source, not the speeding up to it, where the source holds the speed', async () => {
    const finding = (
      await findingsOf(({ aim }) => {
        aim.transmitted.fill(0.05);
      }, linePath())
    ).find(({ code }) => code === 'speed-dip');
    // P T / E' = 60 x 0.05 / 0.35
    expect(finding?.value).toBeCloseTo((60 * 0.05) / 0.35, 3);
    expect(finding?.sentence).toContain("held by the source's largest power");
  });

  it('merges a stretch over the start of a closed seam', async () => {
    const finding = await only('layer-thick', ({ aim }) => {
      aim.layer.fill(3.5, 390, 400);
      aim.layer.fill(3.6, 0, 5);
    });
    expect(finding).toMatchObject({ from: 195, to: 202, at: 200 });
    expect(finding.sentence).toContain('from 195.0 mm across the start to 2.0 mm');
    const round = await only('layer-thick', ({ aim }) => aim.layer.fill(3.5));
    expect(round).toMatchObject({ from: 0, to: 200 });
    expect(round.sentence).toContain('all round');
  });

  it('finds walls too many, and none', async () => {
    const two = await only('several-walls', ({ aim }) => aim.walls.fill(2, 10, 20));
    expect(two.value).toBe(2);
    await only('layer-missing', ({ aim }) => {
      aim.walls.fill(0, 10, 20);
      for (const values of [aim.layer, aim.gap, aim.rawGap]) values.fill(Number.NaN, 10, 20);
    });
  });

  it('calls a ray without an answer unknown, not uncovered', async () => {
    await only('ray-unknown', ({ aim }) => {
      aim.walls.fill(0, 10, 20);
      const traced = [aim.incidenceEntry, aim.incidenceJoint, aim.layer, aim.gap, aim.rawGap];
      for (const values of traced) values.fill(Number.NaN, 10, 20);
    });
  });

  it('finds gaps and overlapping bodies', async () => {
    const gap = await only('gap-wide', ({ aim }) => aim.gap.fill(0.15, 10, 20));
    expect(gap.sentence).toContain('0.150 mm');
    const overlap = await only('bodies-overlap', ({ aim }) => aim.rawGap.fill(-0.2, 10, 20));
    expect(overlap.value).toBeCloseTo(0.2, 12);
  });

  it('finds incidence over either limit, in degrees', async () => {
    const entry = await only('incidence-entry', ({ aim }) => aim.incidenceEntry.fill(18 * RAD_PER_DEG, 10, 20));
    expect([entry.value, entry.limit]).toEqual([expect.closeTo(18, 9), expect.closeTo(15, 9)]);
    const joint = await only('incidence-joint', ({ aim }) => aim.incidenceJoint.fill(11 * RAD_PER_DEG, 10, 20));
    expect(joint.value).toBeCloseTo(11, 9);
  });

  it('names what clips the beam', async () => {
    const finding = await only('beam-clipped', ({ aim }) => {
      aim.clipped.fill(0.125, 40, 60);
      aim.clippedBy.fill(2, 40, 60);
    });
    expect(finding.sentence).toBe('12.5 % of the beam is clipped by clamp.stl from 20.0 to 29.5 mm (limit 2.0 %)');
  });

  it('proposes the offset that brings an edge taken without one to the middle of the rib', async () => {
    const finding = await only('capture', ({ aim }) => {
      aim.capture.fill(0.5);
      aim.captureLateral.fill(0.3);
      aim.borderLeft.fill(3);
      aim.borderRight.fill(0);
    });
    expect(finding.value).toBeCloseTo(50, 12);
    expect(finding.remedy).toBe('set offset_mm to 1.50 (now 0.00)');
    const other = await only('capture', (c) => {
      c.aim.capture.fill(0.5);
      c.aim.borderLeft.fill(0.2);
      c.aim.borderRight.fill(2.6);
      c.jobSeam = { ...SEAM, offset: 0.4 };
    });
    expect(other.remedy).toBe('set offset_mm to -0.80 (now 0.40)');
  });

  it('keeps a spot and the tolerance away from the only border that was measured', async () => {
    const finding = await only('capture', ({ aim }) => {
      aim.capture.fill(0.5);
      aim.borderLeft.fill(Number.NaN);
      aim.borderRight.fill(0);
    });
    expect(finding.remedy).toBe('set offset_mm to 1.20 (now 0.00)');
  });

  it('says that a face is narrower than the spot', async () => {
    const finding = await only('capture', ({ aim }) => {
      aim.capture.fill(0.8);
      aim.borderLeft.fill(0.6);
      aim.borderRight.fill(0.6);
    });
    expect(finding.remedy).toContain('1.20 mm wide');
  });

  it('warns of a spot that leaves the face within the tolerance, and notes one that overhangs it', async () => {
    const lateral = await only('capture-lateral', ({ aim }) => aim.captureLateral.fill(0.95, 10, 20));
    expect(lateral.value).toBeCloseTo(95, 12);
    const overhang = await only('spot-overhang', ({ aim }) => aim.borderRight.fill(0.8, 10, 20));
    expect(overhang.value).toBeCloseTo(0.1, 12);
  });

  it('finds a head that runs back or stands still', async () => {
    const back = await only('head-reversal', ({ aim }) => {
      aim.headFactor.fill(-0.5, 10, 20);
      aim.headFactor[15] = -2;
    });
    expect([back.at, back.value]).toEqual([7.5, -2]);
    await only('head-standstill', ({ aim }) => aim.headFactor.fill(0.01, 10, 20));
    // On its way back and forth it passes through a standstill, which the reversal speaks of already.
    const both = await only('head-reversal', ({ aim }) => {
      aim.headFactor.fill(-0.01, 9, 21);
      aim.headFactor.fill(-0.5, 10, 20);
    });
    expect(both.sentence).toBe(
      "The head stands still and runs backwards, at up to 0.50 times the spot's speed, from 5.0 to 9.5 mm",
    );
  });

  it('blocks where a value is unknown, and says which', async () => {
    const finding = await only('ray-unknown', ({ aim }) => {
      aim.layer.fill(Number.NaN, 10, 14);
      aim.clipped.fill(Number.NaN, 10, 14);
    });
    expect(finding.severity).toBe('blocks');
    expect(finding.sentence).toBe('Could not be computed from 5.0 to 6.5 mm: clipped share, layer');
  });

  it('names what holds the speed down', async () => {
    const finding = await only('speed-dip', ({ aim }) => {
      for (let k = 300; k < 390; k++) aim.turnD1[k] = k % 3 === 2 ? 0.1 : 0;
    });
    expect(finding.value).toBeCloseTo(Math.PI / 0.1, 3);
    expect(finding.sentence).toContain("held by the head's turning speed");
    expect(finding.remedy).toContain('head_turn_deg_s');
    expect(finding.from).toBeLessThan(50);
    expect(finding.to).toBeGreaterThan(64.5);
  });

  it('names the corner at which the spot stops', async () => {
    const path = linePath();
    path.corner[120] = 0.5;
    const finding = await only('speed-dip', () => {}, path);
    expect([finding.at, finding.value]).toEqual([50, 0]);
    expect(finding.sentence).toContain('a corner');
  });

  it('asks for a longer run-in, and does not call the same a dip', async () => {
    const path = linePath();
    const short: Path = { ...path, rows: { ...path.rows, phase: path.rows.phase.slice() } };
    // The weld begins 1 mm after the start of the way instead of 10.
    for (let i = 2; i < 20; i++) short.rows.phase[i] = 1;
    const finding = await only(
      'run-in-short',
      (c) => {
        c.jobSeam = { ...SEAM, runIn: 1 };
      },
      short,
    );
    expect(finding.value).toBeCloseTo(Math.sqrt(2 * 300 * 1), 9);
    // 50^2 / (2 x 300) = 4.17 mm in all, found on a grid of 0.5 mm.
    expect(finding.remedy).toBe('set run_in_mm to at least 5 (now 1)');
  });

  it('calls a weld that begins in a slow bend a dip, not a want of run-in', async () => {
    const findings = await findingsOf(({ path }) => {
      path.curvature.fill(4, 380, 400);
      path.curvature.fill(4, 0, 20);
    });
    // The bend lies over the start: it is driven once when the weld begins and once when it closes.
    expect(findings.map(({ code }) => code)).toEqual(['speed-dip', 'speed-dip']);
    expect(findings[0].from).toBe(0);
    expect(findings[1].to).toBeGreaterThan(200);
    expect(findings[0].sentence).toContain('across the bend');
  });

  it('asks for an overlap of two ramps and a spot', async () => {
    const finding = await only('overlap-short', (c) => {
      c.jobSeam = { ...SEAM, overlap: 8, ramp: 3.2 };
      c.aim.spotAlong.fill(0.9);
    });
    expect(finding.limit).toBeCloseTo(8.2, 12);
    expect(finding.remedy).toBe('set overlap_mm to at least 8.2, or shorten ramp_mm');
  });

  it('notes a source at its largest power and warns of the dip that goes with it', async () => {
    const findings = await findingsOf(({ aim }) => aim.transmitted.fill(0.2, 100, 140));
    expect(findings.map(({ code }) => code)).toEqual(['speed-dip', 'power-at-bound']);
    expect(findings[0].sentence).toContain("the source's largest power");
    expect(findings[1].value).toBeCloseTo(60, 6);
  });

  it('says by how much the line energy is off where the source goes no lower', async () => {
    const findings = await findingsOf((c) => {
      c.job = { ...c.job, optics: { ...c.job.optics, powerMin: 25 } };
    });
    expect(findings.map(({ code }) => code)).toEqual(['power-at-bound', 'line-energy-off']);
    // 25 W x 0.9 / 50 mm/s = 0.45 J/mm against 0.35.
    expect(findings[1].value).toBeCloseTo((0.45 / 0.35 - 1) * 100, 6);
    expect(findings[1].sentence).toContain('28.6 % above the wanted 0.350 J/mm');
  });

  it('holds the line energy against the law from trials, where one is stated', async () => {
    const law = { powerOffset: 6, powerSlope: 0.8 };
    expect(
      await findingsOf((c) => {
        c.job = { ...c.job, optics: { ...c.job.optics, ...law } };
      }),
    ).toEqual([]);
    const findings = await findingsOf((c) => {
      c.job = { ...c.job, optics: { ...c.job.optics, ...law, powerMin: 30 } };
    });
    expect(findings.map(({ code }) => code)).toEqual(['power-at-bound', 'line-energy-off']);
    // 30 W against 6 + 0.8 x 0.35 x 50 / 0.9 W.
    expect(findings[1].value).toBeCloseTo((30 / (6 + (0.8 * 0.35 * 50) / 0.9) - 1) * 100, 6);
  });

  it('says so where the law from trials asks for nothing at all', async () => {
    const finding = await only('line-energy-off', (c) => {
      c.job = { ...c.job, optics: { ...c.job.optics, powerMin: 0, powerOffset: -30 } };
    });
    expect(finding.value).toBeCloseTo(-100, 9);
  });

  describe('a late power', () => {
    /** A bend that is driven at 20 mm/s, entered and left at 300 mm/s2, by a cell that is 30 ms late. */
    const late =
      (changes: Partial<Job['optics']> = {}, band = 0.1) =>
      (c: Case) => {
        c.path.curvature.fill(5, 200, 240);
        const optics = { ...c.job.optics, powerLag: 0.03, ...changes };
        c.job = { ...c.job, optics, limits: { ...c.job.limits, lineEnergy: band } };
      };

    it('is found where the speed changes, with its size and the lead that mends it', async () => {
      const findings = await findingsOf(late());
      expect(findings.map(({ code }) => code)).toEqual(['speed-dip', 'power-late', 'power-late']);
      const [dip, entering, leaving] = findings;
      // Source: closed form a lag / v inside a speed ramp; at the end of braking v is the lowest speed there is. Computed.
      expect(entering.value).toBeCloseTo(((300 * 0.03) / dip.value) * 100, 6);
      expect(entering).toMatchObject({ severity: 'warns', limit: 10, unit: '%' });
      expect(Math.abs(entering.at - 100)).toBeLessThan(1);
      expect(entering.sentence).toContain(
        `Up to ${entering.value.toFixed(1)} % more line energy arrives than is asked`,
      );
      expect(entering.sentence).toMatch(/band 10\.0 %\): the power comes 30\.0 ms late$/);
      expect(entering.remedy).toMatch(
        /^set power_lead_ms to 30\.0 in the cell and in the optics \(now 0\.0\): 0\.0 of \d+\.\d mm stay outside the band, the worst 0\.0 % off$/,
      );
      expect(leaving.value).toBeLessThan(-25);
      expect(leaving.sentence).toContain('% less line energy arrives');
      expect(leaving.from).toBeGreaterThan(119);
    });

    it('is silent with that lead, within a band as wide as the deviation, and at an even speed', async () => {
      const codes = async (change: (c: Case) => void) => (await findingsOf(change)).map(({ code }) => code);
      expect(await codes(late({ powerLead: 0.03 }))).toEqual(['speed-dip']);
      const [, { value }] = await findingsOf(late());
      expect(await codes(late({}, value / 100))).toEqual(['speed-dip']);
      expect(await codes(late({}, value / 100 - 1e-3))).toEqual(['speed-dip', 'power-late']);
      expect(
        await codes((c) => {
          c.job = { ...c.job, optics: { ...c.job.optics, powerLag: 0.06, powerUpdate: 0.012 } };
        }),
      ).toEqual([]);
    });

    it('asks for gentler changes or more updates where the lead is as good as it gets', async () => {
      const steps = { powerLag: 0.02, powerUpdate: 0.06 };
      const [, first] = await findingsOf(late(steps));
      const lead = Number(/set power_lead_ms to (\S+) /.exec(first.remedy)?.[1]);
      expect(lead).toBeGreaterThan(20);
      const [, second] = await findingsOf(late({ ...steps, powerLead: lead / 1000 }));
      expect(second.code).toBe('power-late');
      expect(second.sentence).toContain(
        `between ${(lead - 20).toFixed(1)} ms early and ${(80 - lead).toFixed(1)} ms late`,
      );
      expect(second.remedy).toBe(RULES['power-late'].remedy);
    });
  });

  it('tells mild from strong inequality across a bend', async () => {
    // Source: fluence of a Gaussian spot on a circle, R 10, +-1 mm: ratio sqrt(11 / 9) = 1.1055. Computed.
    const mild = await only('unequal-bend', ({ path }) => path.geodesicCurvature.fill(-0.1, 10, 20));
    expect(mild.value).toBeCloseTo(10.55, 1);
    expect(mild.sentence).toContain('radius 10.0 mm');
    await only('unequal-bend-strong', ({ path }) => path.geodesicCurvature.fill(0.2, 10, 20));
    const hollow = await only('unequal-bend-strong', ({ path }) => path.geodesicCurvature.fill(1.5, 10, 20));
    expect(hollow.sentence).toContain('wider than the bend');
  });

  it('finds a coarse fit and a guessed face', async () => {
    const fit = await only('fit-coarse', (c) => {
      c.seam = { ...c.seam, fit: { points: 100, largest: 0.08, rms: 0.02, at: 33 } };
    });
    expect([fit.at, fit.value]).toEqual([33, 0.08]);
    await only('face-uncertain', (c) => {
      c.seam = { ...c.seam, faceChoice: 'towards-beam' };
    });
  });

  it('says how a selection agrees with its fingerprint', async () => {
    const found = await only('selection-found', (c) => {
      c.seam = { ...c.seam, match: { kind: 'found', distance: 1e-4, why: 'there is no edge "tub:3-7"' } };
    });
    expect(found.sentence).toContain('edges tub:0-1: there is no edge "tub:3-7"');
    const changed = await only('selection-changed', (c) => {
      c.seam = { ...c.seam, match: { kind: 'changed', distance: 0.7, why: '' } };
    });
    expect([changed.value, changed.severity]).toEqual([0.7, 'blocks']);
  });

  it('says what became of corners that were to be rounded', async () => {
    const blend = { from: 30, to: 33, angle: Math.PI / 2, deviation: 0.48, wanted: 0.5 };
    const rounded = await only('corner-rounded', (c) => {
      c.jobSeam = { ...c.jobSeam, cornerBlend: 0.5 };
      c.seam = { ...c.seam, blends: [blend] };
    });
    expect([rounded.value, rounded.limit, rounded.from, rounded.to]).toEqual([0.48, 0.5, 30, 33]);
    expect(rounded.sentence).toContain('90.0 deg at 0.480 mm');
    const kept = await only('corner-kept', (c) => {
      c.jobSeam = { ...c.jobSeam, cornerBlend: 0.5 };
      c.seam = { ...c.seam, corners: [{ s: 41, angle: Math.PI / 3 }] };
    });
    expect([kept.at, kept.severity]).toEqual([41, 'warns']);
  });

  it('holds the fit of measured points against their noise', async () => {
    const points = (c: { seam: Seam; jobSeam: JobSeam }, largest: number): void => {
      const select = {
        kind: 'points',
        file: 'p.csv',
        body: 'tub',
        closed: null,
        smooth: 0.05,
        reach: 2,
        faceNear: null,
      } as const;
      c.jobSeam = { ...c.jobSeam, select };
      c.seam = { ...c.seam, fit: { points: 100, largest, rms: 0.05, at: 33 } };
    };
    const coarse = await only('fit-coarse', (c) => points(c, 0.21));
    expect(coarse.limit).toBeCloseTo(0.2, 12);
    expect(await findingsOf((c) => points(c, 0.19))).toEqual([]);
  });

  it('looks at the extensions of an open seam for nothing that belongs to the weld', async () => {
    const path = linePath();
    const findings = await findingsOf(({ aim }) => {
      aim.layer.fill(9, 0, 20);
      aim.capture.fill(0, 221, 241);
      aim.clipped.fill(Number.NaN, 0, 20);
    }, path);
    expect(findings).toEqual([]);
  });
});
