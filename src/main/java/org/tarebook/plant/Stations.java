package org.tarebook.plant;

import java.util.Collection;
import java.util.TreeSet;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;

/** The plant's stations, and the lock that whoever writes facts of a station takes first. */
@Service
public class Stations extends Register<Station> {

  private final JdbcClient jdbc;
  private final JdbcTemplate batches;

  Stations(StationRepository repository, Tools tools, JdbcClient jdbc, JdbcTemplate batches) {
    super("station", repository, tools);
    this.jdbc = jdbc;
    this.batches = batches;
  }

  @Override
  public Station add(Station fresh, Actor actor, Object detail) {
    Station station = super.add(fresh, actor, detail);
    jdbc.sql("insert into station_lock (station_id, version) values (?, 0)")
        .param(station.id())
        .update();
    return station;
  }

  /** Takes the locks of stations until the transaction ends, in the order all writers keep. */
  public void lock(Collection<Long> stationIds) {
    batches.batchUpdate(
        "update station_lock set version = version + 1 where station_id = ?",
        new TreeSet<>(stationIds).stream().map(id -> new Object[] {id}).toList());
  }
}
