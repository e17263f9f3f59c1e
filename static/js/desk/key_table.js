// @ts-check
/**
 * Which key does what. The words come from the server; the same table fills the overlay.
 * @param {Record<string, string>} say
 * @param {Record<string, (...given: any[]) => void>} act
 * @returns {import("./keys.js").Key[]}
 */
export function keyTable(say, act) {
  const [film, walk, points, draw, desk] = [say.keys_film, say.keys_walk, say.keys_points, say.keys_draw, say.keys_desk];
  const tool = (/** @type {string} */ key, /** @type {string} */ name) => ({ key, words: say[`tool_${name}`], group: draw, act: () => act.tool(name) });
  return [
    { key: "ArrowLeft", shown: "←", shift: false, words: say.key_back, group: film, act: () => act.step(-1) },
    { key: "ArrowRight", shown: "→", shift: false, words: say.key_forward, group: film, act: () => act.step(1) },
    { key: "ArrowLeft", shown: "Shift ←", shift: true, words: say.key_back_ten, group: film, act: () => act.step(-10) },
    { key: "ArrowRight", shown: "Shift →", shift: true, words: say.key_forward_ten, group: film, act: () => act.step(10) },
    { key: "Home", words: say.key_first, group: film, act: () => act.toFrame("first") },
    { key: "End", words: say.key_last, group: film, act: () => act.toFrame("last") },
    { key: " ", shown: say.key_space, words: say.key_play, group: film, act: () => act.space() },
    { key: "j", words: say.key_loop, group: film, act: () => act.loop() },
    { key: ",", words: say.key_slower, group: film, act: () => act.slower() },
    { key: ".", words: say.key_faster, group: film, act: () => act.faster() },
    { key: "+", words: say.key_larger, group: film, act: () => act.closer() },
    { key: "-", words: say.key_smaller, group: film, act: () => act.farther() },
    { key: "0", words: say.key_whole, group: film, act: () => act.whole() },
    { key: "9", words: say.key_hitter, group: film, act: () => act.hitter() },
    { key: "s", words: say.key_skeleton, group: film, act: () => act.skeleton() },
    { key: "Q", shown: "Shift q", words: say.key_compare, group: film, act: () => act.compare() },
    { key: "h", words: say.key_put, group: film, act: () => act.put() },
    { key: "k", words: say.key_restore, group: film, act: () => act.restore() },
    { key: "v", words: say.key_mark_swing, group: film, act: () => act.markSwing() },
    { key: "m", words: say.key_count, group: film, act: () => act.count() },
    { key: "d", words: say.key_not_swing, group: film, act: () => act.notSwing() },
    ...[1, 2, 3, 4, 5, 6, 7, 8].map((n) => ({ key: String(n), shown: n === 1 ? "1–8" : "", words: n === 1 ? say.key_stops : "", group: walk, act: () => act.stop(n - 1) })),
    { key: "Enter", words: say.key_next, group: walk, act: () => act.next() },
    { key: "Enter", shown: "Ctrl Enter", ctrl: true, everywhere: true, words: say.key_next_writing, group: walk, act: () => act.next() },
    { key: "ArrowUp", shown: "↑", words: say.key_up, group: points, act: () => act.point(-1) },
    { key: "ArrowDown", shown: "↓", words: say.key_down, group: points, act: () => act.point(1) },
    { key: "g", words: say.key_good, group: points, act: () => act.rate("good") },
    { key: "w", words: say.key_watch, group: points, act: () => act.rate("watch") },
    { key: "o", words: say.key_work_on, group: points, act: () => act.rate("work_on") },
    { key: "t", words: say.key_thing, group: points, act: () => act.thing() },
    { key: "i", words: say.key_say, group: points, act: () => act.say() },
    { key: "q", words: say.key_drill, group: points, act: () => act.drill() },
    { key: "n", words: say.key_words, group: points, act: () => act.note() },
    { key: "y", words: say.key_wanted, group: points, act: () => act.wanted() },
    tool("l", "line"), { key: "a", words: say.tool_angle, group: draw, act: () => act.angle() }, tool("r", "arrow"), tool("c", "ring"), tool("f", "free"), tool("b", "words"), tool("p", "points"), tool("e", "plate"),
    { key: "Escape", shown: "Esc", words: say.tool_look, group: draw, act: () => act.tool("look") },
    { key: "x", words: say.key_tone, group: draw, act: () => act.tone() },
    { key: "z", words: say.key_undo, group: desk, act: () => act.undo() },
    { key: "Z", shown: "Shift z", words: say.key_redo, group: desk, act: () => act.redo() },
    { key: "z", shown: "", ctrl: true, shift: false, words: "", group: desk, act: () => act.undo() },
    { key: "z", shown: "", ctrl: true, shift: true, words: "", group: desk, act: () => act.redo() },
    { key: "Delete", words: say.key_delete, group: draw, act: () => act.delete() },
    { key: "Backspace", shown: "", words: "", group: draw, act: () => act.delete() },
    { key: "u", words: say.key_write_up, group: desk, act: () => act.writeUp() },
    { key: "?", words: say.key_help, group: desk, act: () => act.help() },
  ];
}
