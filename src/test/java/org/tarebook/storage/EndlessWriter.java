package org.tarebook.storage;

import java.util.List;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.jdbc.datasource.SingleConnectionDataSource;
import org.springframework.jdbc.support.JdbcTransactionManager;
import org.springframework.transaction.support.TransactionTemplate;

/** A process of its own that writes facts and acknowledges each one, until somebody kills it. */
final class EndlessWriter {

  private EndlessWriter() {}

  public static void main(String[] arguments) {
    var connections = new SingleConnectionDataSource(arguments[0], "tarebook", "", true);
    var forcing = new SingleConnectionDataSource(arguments[0], "tarebook", "", true);
    JdbcClient sql = JdbcClient.create(connections);
    sql.sql("create table fact (id bigint primary key)").update();
    JdbcTransactionManager manager = new JdbcTransactionManager(connections);
    manager.setTransactionExecutionListeners(List.of(new Durability(forcing)));
    TransactionTemplate transaction = new TransactionTemplate(manager);
    for (long id = 1; ; id++) {
      long fact = id;
      transaction.execute(
          status -> sql.sql("insert into fact (id) values (?)").param(fact).update());
      System.out.println(id);
    }
  }
}
