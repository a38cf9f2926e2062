// The surveyed metal in 3D with its openings marked.

import { VanView } from "./scene.js";
import { markShape } from "./draft_marks.js";

/** A van's view in which rings are openings of a draft. */
export class DraftView extends VanView {
  constructor(canvas, data, onDrawn) {
    super(canvas, data, onDrawn);
    this.holes = data.holes;
  }

  /** Show the draft; sayOf(hole) tells what is said of each opening. */
  begin(sayOf) {
    this.load(0);
    this.rings = this.holes.map((hole) => markShape(hole, sayOf(hole)));
    this.rings.forEach((one) => this.all.add(one.mesh));
    this.dress();
  }

  /** Draw one opening anew, after something else was said of it. */
  change(hole, say) {
    const number = this.holes.indexOf(hole);
    const old = this.rings[number];
    this.drop(old.mesh);
    this.all.remove(old.mesh);
    this.rings[number] = markShape(hole, say);
    this.all.add(this.rings[number].mesh);
    this.dress();
  }

  dress() {
    super.dress();
    for (const one of this.rings) {
      if (!one.mesh) continue;
      one.mesh.visible = one.visible;
      one.paint.opacity = one.opacity;
    }
  }

  draw() {
    if (!this.all) return;
    const { pixel } = this.aim;
    for (const one of this.rings) {
      const away = one.middle.distanceTo(this.camera.position);
      const more = this.picked.openings.has(one.ring.id) ? 1.6 : 1;
      for (const { ball, size } of one.balls ?? []) ball.scale.setScalar(pixel * size * away * more);
    }
    super.draw();
  }
}
