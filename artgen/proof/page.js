"use strict";
(() => {
  const scenes = JSON.parse(document.getElementById("scenes").textContent);
  const words = JSON.parse(document.getElementById("words").textContent);
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  const SVG = "http://www.w3.org/2000/svg";
  const polygon = (ring) => `polygon(${ring.map(([x, y]) => `${x}px ${y}px`).join(",")})`;
  const path = (ring) => `M${ring.map((p) => p.join(" ")).join("L")}Z`;
  const clamp = (v, low, high) => Math.min(high, Math.max(low, v));

  function element(parent, name, kind) {
    const made = document.createElement(name);
    if (kind) made.className = kind;
    parent.append(made);
    return made;
  }

  function drawing(parent, width, height) {
    const svg = document.createElementNS(SVG, "svg");
    svg.setAttribute("width", width);
    svg.setAttribute("height", height);
    svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
    svg.setAttribute("aria-hidden", "true");
    parent.append(svg);
    return svg;
  }

  function draw(svg, kind, facts) {
    const made = document.createElementNS(SVG, kind);
    for (const [name, value] of Object.entries(facts)) made.setAttribute(name, value);
    svg.append(made);
    return made;
  }

  // ---- one display that turns

  function lay(made, face) {
    made.style.width = `${face.size[0]}px`;
    made.style.height = `${face.size[1]}px`;
    made.style.transform = `matrix3d(${face.matrix.join(",")})`;
  }

  function addFace(scene, face) {
    const made = element(scene, "div", `face ${face.role}`);
    made.dataset.number = face.number;
    made.dataset.ring = JSON.stringify(face.ring);
    lay(made, face);
    if (face.ring.length !== 4 || face.ring.some(([x, y]) => Math.min(x, face.size[0] - x) > 1 || Math.min(y, face.size[1] - y) > 1)) {
      made.style.clipPath = polygon(face.ring);
    }
    if (face.role === "panel") addCloth(made, face);
    if (face.role !== "open") element(made, "div", "dim").style.opacity = face.shade;
  }

  function addCloth(made, face) {
    const flat = document.querySelector(`svg.flat[data-number="${face.number}"]`);
    const art = document.getElementById(`art-${face.number}`);
    const cloth = element(made, art ? "img" : "div", art ? "" : "nothing");
    const [x, y, w, h] = face.art;
    Object.assign(cloth.style, { left: `${x}px`, top: `${y}px`, width: `${w}px`, height: `${h}px`, clipPath: polygon(face.cloth) });
    if (art) {
      cloth.alt = "";
      cloth.draggable = false;
      cloth.src = art.getAttribute("href");
    } else if (flat.closest(".panel").querySelector(".state.blank")) cloth.classList.add("blank");
    for (const ring of face.bands) {
      const band = element(made, "div", "band");
      band.style.clipPath = polygon(ring);
    }
    const svg = drawing(made, face.size[0], face.size[1]);
    const onto = draw(svg, "g", { transform: `matrix(${face.page.join(" ")})` });
    for (const over of flat.querySelectorAll(".over")) onto.append(over.cloneNode(true));
  }

  function addFloor(eye, scene) {
    const under = element(element(eye, "div"), "div", "under-scene");
    const floor = element(under, "div", "floor");
    lay(floor, scene.floor);
    const [w, h] = scene.floor.size;
    const svg = drawing(floor, w, h);
    const id = `floor-${document.querySelectorAll(".floor").length}`;
    const fade = draw(draw(svg, "defs", {}), "radialGradient", { id });
    draw(fade, "stop", { offset: "0.35", "stop-color": "#fff", "stop-opacity": "1" });
    draw(fade, "stop", { offset: "1", "stop-color": "#fff", "stop-opacity": "0" });
    const mask = draw(svg.firstChild, "mask", { id: `${id}-m` });
    draw(mask, "rect", { width: w, height: h, fill: `url(#${id})` });
    const lines = draw(svg, "g", { mask: `url(#${id}-m)`, stroke: "#9a9da0", "stroke-width": 1.6, fill: "none" });
    const step = scene.floor.metre;
    for (let at = (w / 2) % step; at < w; at += step) draw(lines, "path", { d: `M${at} 0V${h}M0 ${at}H${w}` });
    const blur = draw(svg.firstChild, "filter", { id: `${id}-b`, x: "-50%", y: "-50%", width: "200%", height: "200%" });
    draw(blur, "feGaussianBlur", { stdDeviation: w / (scene.hung ? 30 : 70) });
    draw(svg, "path", { d: path(scene.floor.ring), fill: "#26282e", opacity: scene.hung ? 0.22 : 0.42, filter: `url(#${id}-b)` });
    const [x, y] = scene.floor.feet;
    draw(svg, "ellipse", { cx: x, cy: y, rx: step * 0.34, ry: step * 0.22, fill: `url(#${id}-f)`, class: "feet" });
    const soft = draw(svg.firstChild, "radialGradient", { id: `${id}-f` });
    draw(soft, "stop", { offset: "0", "stop-color": "#26282e", "stop-opacity": "0.4" });
    draw(soft, "stop", { offset: "1", "stop-color": "#26282e", "stop-opacity": "0" });
    return under;
  }

  function addUpright(scene, at, width, height, kind) {
    const made = element(scene, "div", kind);
    Object.assign(made.style, { width: `${width}px`, height: `${height}px` });
    made.dataset.at = JSON.stringify(at);
    made.dataset.left = width / 2;
    made.dataset.up = height;
    return made;
  }

  function addPerson(root, person) {
    const wide = person.tall * 0.34;
    const made = addUpright(root, person.at, wide, person.tall, "person");
    const svg = drawing(made, wide, person.tall);
    const d = person.rings.map((ring) => path(ring.map(([x, y]) => [wide / 2 + x * person.tall, (1 - y) * person.tall]))).join("");
    draw(svg, "path", { d });
  }

  class Display {
    constructor(holder) {
      this.holder = holder;
      this.stage = holder.querySelector(".stage");
      this.status = holder.querySelector(".where");
      this.data = scenes[holder.dataset.display];
      this.first = this.data.first;
      holder.hidden = false;
      this.eye = element(this.stage, "div", "eye");
      this.under = addFloor(this.eye, this.data);
      this.root = element(element(this.eye, "div"), "div", "scene");
      for (const face of this.data.faces) addFace(this.root, face);
      for (const at of this.data.cables) addUpright(this.root, at, 4, this.data.height * 0.5, "cable");
      addPerson(this.root, this.data.person);
      this.reset(false);
      this.listen();
      new ResizeObserver(() => this.place()).observe(this.stage);
    }

    reset(tell = true) {
      Object.assign(this, { azimuth: this.first[0], elevation: this.first[1], zoom: 1, panX: 0, panY: 0 });
      this.place();
      if (tell) this.tell();
    }

    // the scale at which the whole fits, seen from any side
    fit() {
      const { radius, reach, height } = this.data;
      const tip = (Math.abs(this.elevation) * Math.PI) / 180;
      const tall = height * Math.cos(tip) + 2 * reach * Math.sin(tip);
      return Math.min((this.stage.clientWidth * 0.96) / (2 * radius), (this.stage.clientHeight * 0.86) / tall);
    }

    place() {
      if (!this.stage.clientWidth) return;
      const scale = this.fit() * this.zoom;
      const deep = 3.4 * Math.hypot(this.data.radius, this.data.height / 2) * scale;
      const turn = `scale3d(${scale},${scale},${scale}) rotateX(${-this.elevation}deg) rotateY(${-this.azimuth}deg)`;
      for (const part of [this.root, this.under]) {
        part.style.transform = turn;
        part.parentNode.style.perspective = `${deep}px`;
      }
      this.eye.style.transform = `translate(${this.panX}px,${this.panY}px)`;
      // in perspective the eye can be over the floor and yet look up at what hangs
      const over = (this.data.height * scale) / 2 + deep * Math.sin((this.elevation * Math.PI) / 180) > 0;
      this.under.style.visibility = over ? "visible" : "hidden";
      for (const one of this.root.querySelectorAll("[data-at]")) {
        const [x, y, z] = JSON.parse(one.dataset.at);
        one.style.transform = `translate3d(${x}px,${y}px,${z}px) rotateY(${this.azimuth}deg) translate(${-one.dataset.left}px,${-one.dataset.up}px)`;
      }
      this.stage.dataset.azimuth = this.azimuth;
      this.stage.dataset.elevation = this.elevation;
      this.stage.dataset.zoom = this.zoom;
      this.stage.dataset.scale = scale;
      this.stage.dataset.deep = deep;
    }

    turn(right, up, tell = false) {
      cancelAnimationFrame(this.going);
      this.azimuth = ((((this.azimuth + right + 180) % 360) + 360) % 360) - 180;
      this.elevation = clamp(this.elevation + up, -70, 80);
      this.place();
      if (tell) this.tell();
    }

    nearer(by, tell = false) {
      this.zoom = clamp(this.zoom * by, 0.5, 6);
      if (this.zoom <= 1) this.panX = this.panY = 0;
      this.place();
      if (tell) this.tell();
    }

    pan(x, y) {
      if (this.zoom <= 1) return;
      this.panX = clamp(this.panX + x, -this.stage.clientWidth * this.zoom / 2, this.stage.clientWidth * this.zoom / 2);
      this.panY = clamp(this.panY + y, -this.stage.clientHeight * this.zoom / 2, this.stage.clientHeight * this.zoom / 2);
      this.place();
    }

    go(azimuth, elevation) {
      const from = [this.azimuth, this.elevation];
      const by = [((azimuth - from[0] + 540) % 360) - 180, elevation - from[1]];
      const start = performance.now();
      const step = (now) => {
        const t = calm.matches ? 1 : clamp((now - start) / 450, 0, 1);
        const s = t * t * (3 - 2 * t);
        this.azimuth = from[0] + by[0] * s;
        this.elevation = from[1] + by[1] * s;
        if (t < 1) this.going = requestAnimationFrame(step);
        else [this.azimuth, this.elevation] = [azimuth, elevation];
        this.place();
        if (t === 1) this.tell();
      };
      cancelAnimationFrame(this.going);
      step(start);
    }

    // where one stands, in words: for who can't see the picture turn
    tell() {
      const eighth = ((Math.round(this.azimuth / 45) % 8) + 8) % 8;
      const high = this.elevation > 5 ? words.above : this.elevation < -5 ? words.below : words.level;
      this.status.textContent = `${words.from[eighth]}, ${high}`;
    }

    act(name, button) {
      const acts = {
        left: () => this.turn(-15, 0, true),
        right: () => this.turn(15, 0, true),
        up: () => this.turn(0, 10, true),
        down: () => this.turn(0, -10, true),
        nearer: () => this.nearer(1.3, true),
        farther: () => this.nearer(1 / 1.3, true),
        reset: () => this.reset(),
        light: () => {
          const on = this.holder.classList.toggle("lit");
          button.setAttribute("aria-pressed", on);
          this.holder.querySelector(".approximate").hidden = !on;
        },
      };
      acts[name]();
    }

    listen() {
      this.holder.querySelector(".controls").addEventListener("click", (event) => {
        const button = event.target.closest("button");
        if (!button) return;
        if (button.dataset.act) this.act(button.dataset.act, button);
        else this.go(Number(button.dataset.azimuth), Number(button.dataset.elevation));
      });
      this.stage.addEventListener("keydown", (event) => this.key(event));
      this.stage.addEventListener("wheel", (event) => {
        if (!event.ctrlKey && document.activeElement !== this.stage) return;
        event.preventDefault();
        this.nearer(Math.exp(-event.deltaY / 500));
      }, { passive: false });
      const down = new Map();
      this.stage.addEventListener("pointerdown", (event) => {
        down.set(event.pointerId, [event.clientX, event.clientY]);
        this.stage.setPointerCapture(event.pointerId);
      });
      this.stage.addEventListener("pointermove", (event) => {
        if (!down.has(event.pointerId)) return;
        const before = [...down.values()];
        const [x, y] = down.get(event.pointerId);
        down.set(event.pointerId, [event.clientX, event.clientY]);
        const after = [...down.values()];
        const [dx, dy] = [event.clientX - x, event.clientY - y];
        if (after.length === 2) {
          const wide = (p) => Math.hypot(p[0][0] - p[1][0], p[0][1] - p[1][1]);
          if (wide(before) > 0) this.nearer(wide(after) / wide(before));
          this.pan(dx / 2, dy / 2);
        } else if (event.shiftKey || event.buttons === 4) this.pan(dx, dy);
        else this.turn(-dx * 0.4, dy * 0.3);
      });
      for (const end of ["pointerup", "pointercancel"]) {
        this.stage.addEventListener(end, (event) => {
          if (down.delete(event.pointerId)) this.tell();
        });
      }
    }

    key(event) {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const pans = { ArrowLeft: [40, 0], ArrowRight: [-40, 0], ArrowUp: [0, 40], ArrowDown: [0, -40] };
      const keys = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down", "+": "nearer", "=": "nearer", "-": "farther", Home: "reset", 0: "reset" };
      if (event.shiftKey && pans[event.key]) this.pan(...pans[event.key]);
      else if (keys[event.key]) this.act(keys[event.key]);
      else return;
      event.preventDefault();
    }
  }

  document.documentElement.classList.add("moving");
  // a display is built when it comes near the screen: many at once would be heavy for a phone
  const near = new IntersectionObserver((seen) => {
    for (const { target, isIntersecting } of seen) {
      if (!isIntersecting) continue;
      near.unobserve(target);
      new Display(target.querySelector(".stand-in"));
    }
  }, { rootMargin: "600px" });
  for (const display of document.querySelectorAll(".display")) {
    display.querySelector(".stand-in").hidden = false;
    near.observe(display);
  }

  const person = document.getElementById("show-person");
  const lines = document.getElementById("show-lines");
  const show = () => {
    document.body.classList.toggle("nobody", !person.checked);
    for (const flat of document.querySelectorAll("svg.flat")) {
      flat.setAttribute("viewBox", lines.checked ? flat.dataset.page : flat.dataset.window);
    }
  };
  for (const one of [person, lines]) one.addEventListener("change", show);
  show();

  // ---- one panel close up

  const closer = document.getElementById("closer");
  const pane = closer.querySelector(".pane");
  let times = 1;
  const enlarge = () => {
    const svg = pane.firstElementChild;
    const [, , w, h] = svg.getAttribute("viewBox").split(" ").map(Number);
    const fit = Math.min(pane.clientWidth / w, pane.clientHeight / h);
    svg.setAttribute("width", w * fit * times);
    svg.setAttribute("height", h * fit * times);
  };
  const zoom = (by) => {
    const [x, y] = [(pane.scrollLeft + pane.clientWidth / 2) / pane.scrollWidth, (pane.scrollTop + pane.clientHeight / 2) / pane.scrollHeight];
    times = clamp(times * by, 1, 8);
    enlarge();
    pane.scrollTo(x * pane.scrollWidth - pane.clientWidth / 2, y * pane.scrollHeight - pane.clientHeight / 2);
  };
  for (const button of document.querySelectorAll(".closer")) {
    button.addEventListener("click", () => {
      const article = button.closest(".panel");
      const copy = article.querySelector("svg.flat").cloneNode(true);
      copy.querySelector("defs").remove(); // its parts are found by their names in the page's own picture
      copy.setAttribute("class", "large");
      document.getElementById("closer-name").textContent = article.querySelector("h4").textContent;
      pane.replaceChildren(copy);
      times = 1;
      closer.showModal();
      enlarge();
      pane.focus();
    });
  }
  closer.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (!button) return;
    if (button.dataset.zoom) zoom(Number(button.dataset.zoom) > 0 ? 1.5 : 1 / 1.5);
    else closer.close();
  });
  closer.addEventListener("keydown", (event) => {
    if (event.key === "+" || event.key === "=") zoom(1.5);
    else if (event.key === "-") zoom(1 / 1.5);
  });
})();
