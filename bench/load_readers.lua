-- What people do who only look: open jobs, type into the search field, see findings.
local ids = {}
for line in io.lines(os.getenv("HEADJOINT_IDS")) do ids[#ids + 1] = line end
local words = { "boils", "vosk", "01", "runs+hot", "marl", "0042", "mu", "climb" }
local count = 0

function init(_)
  math.randomseed(20261125)
end

function request()
  count = count + 1
  local step = count % 10
  -- A hundred jobs are on benches; the others lie in the list.
  local id = ids[math.random(1, math.min(100, #ids))]
  if step < 5 then return wrk.format("GET", "/api/v1/jobs/" .. id) end
  if step < 8 then return wrk.format("GET", "/api/v1/jobs?limit=50&find=" .. words[math.random(1, #words)]) end
  if step < 9 then return wrk.format("GET", "/api/v1/jobs/" .. ids[1] .. "/assessment") end
  return wrk.format("GET", "/")
end
