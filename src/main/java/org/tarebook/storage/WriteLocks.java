package org.tarebook.storage;

import java.sql.ResultSet;
import java.util.Collection;
import java.util.Map;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;

/**
 * The locks under which readings are written and figures change: one for each chart, and one for
 * each characteristic, which serves its readings outside any chart. Their ids come from one
 * sequence and never clash. A lock also counts: each taking gives it a new version, and what is
 * written under it keeps that version, so that a figure can be told again as it stood then.
 */
@Component
public class WriteLocks {

  private final JdbcClient jdbc;

  WriteLocks(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /** Makes the lock of a new chart or characteristic. */
  public void open(long id) {
    jdbc.sql("insert into write_lock (id, version) values (?, 0)").param(id).update();
  }

  /**
   * Takes locks until the transaction ends, in the order all writers keep.
   *
   * @return the new version of each
   */
  public Map<Long, Long> take(Collection<Long> ids) {
    SortedSet<Long> inOrder = new TreeSet<>(ids);
    for (long id : inOrder) {
      jdbc.sql("update write_lock set version = version + 1 where id = ?").param(id).update();
    }
    Map<Long, Long> versions = new TreeMap<>();
    if (!inOrder.isEmpty()) {
      jdbc.sql("select id, version from write_lock where id in (:ids)")
          .param("ids", inOrder)
          .query(
              (ResultSet row, int number) ->
                  versions.put(row.getLong("id"), row.getLong("version")))
          .list();
    }
    return versions;
  }

  /** The version of a lock, without taking it. */
  public long version(long id) {
    return jdbc.sql("select version from write_lock where id = ?")
        .param(id)
        .query(Long.class)
        .single();
  }
}
