DROP TABLE notices;
DROP TABLE messages;
