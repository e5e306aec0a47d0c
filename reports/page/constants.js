"use strict";
// What scripts and Python must agree on: each takes its part from here.
const constants = JSON.parse(document.getElementById("constants").textContent);
