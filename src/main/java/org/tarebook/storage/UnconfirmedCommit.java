package org.tarebook.storage;

import org.springframework.dao.DataAccessResourceFailureException;

/** Work was done, but the database failed before it confirmed that all of it is stored. */
public class UnconfirmedCommit extends DataAccessResourceFailureException {

  /** Says how the database failed. */
  public UnconfirmedCommit(Throwable cause) {
    super("The database failed before it confirmed what it stored", cause);
  }
}
