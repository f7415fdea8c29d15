import assert from "node:assert/strict"
import { test } from "node:test"
import { Disk } from "./disk.js"

/** The module over a disk of its own. */
async function fresh(name) {
  const disk = new Disk().install()
  return { disk, ...(await import(`../../static/js/db.js?${name}`)) }
}

test("what was put is there, and what was removed is not", async () => {
  const { put, get, all, remove } = await fresh("plain")
  await put("draft", { name: "a", n: 1 })
  await put("draft", { name: "a", n: 2 })
  await put("draft", { name: "b" })

  await remove("draft", "b")

  assert.deepEqual(await get("draft", "a"), { name: "a", n: 2 })
  assert.equal(await get("draft", "b"), undefined)
  assert.equal((await all("draft")).length, 1)
})

test("every write asks for the disk, not for a cache before it", async () => {
  const { disk, put, change } = await fresh("strict")

  await put("draft", { name: "a" })
  await change(["draft", "phone"], (tx) => tx.objectStore("phone").put({ key: "n", value: 1 }))

  assert.deepEqual(disk.durability, ["strict", "strict"])
})

test("on a full disk nothing is kept, and nobody is told that it was", async () => {
  const { disk, change, all } = await fresh("full")
  await all("draft")
  disk.isFull = true

  const kept = change(["draft", "phone"], (tx) => {
    tx.objectStore("draft").put({ name: "a" })
    tx.objectStore("phone").put({ key: "n", value: 1 })
  })

  await assert.rejects(kept, { name: "QuotaExceededError" })
  assert.deepEqual([disk.rows("draft"), disk.rows("phone")], [[], []])
})

test("a dead handle is opened anew once, and the write is made then", async () => {
  const { disk, put, get } = await fresh("dead")
  await put("draft", { name: "a" })
  disk.isLost = true

  await put("draft", { name: "b" })

  assert.deepEqual(await get("draft", "b"), { name: "b" })
  assert.equal(disk.opened, 2)
})

test("a database of a newer release is opened as it is, with all that waits in it", async () => {
  const { disk, all } = await fresh("newer")
  disk.version = 3
  disk.stores.set("entry", { keyPath: "id", rows: new Map([["e1", { id: "e1" }]]) })

  assert.deepEqual(await all("entry"), [{ id: "e1" }])
})

test("a store that is there already keeps its rows when others are added", async () => {
  const { disk, all } = await fresh("older")
  disk.stores.set("entry", { keyPath: "id", rows: new Map([["e1", { id: "e1" }]]) })

  assert.deepEqual(await all("entry"), [{ id: "e1" }])
  assert.deepEqual([...disk.stores.keys()].sort(), ["draft", "entry", "heard", "phone", "photo"])
})
