package org.tarebook.storage;

/**
 * The database was away and answers again. It may stand where it stood a moment earlier, so
 * whatever is kept of it in memory is to be read anew. Told before the first connection to it is
 * given out.
 */
public record DatabaseReopened() {}
